// Evenness: a grid of densities over each frame, typed in.

import { draft } from './draft.js';
import { keep, list, look, theFolder } from './desk.js';
import { ask } from './control.js';
import { bytesOf, button, cell, choice, fields, fileName, h, options, path, settled } from './ui.js';

export function screen({ say }) {
  const it = draft('evenness', { from: 'typed', file: '', along: '3 18 33', across: '2 12 22', frame: '1', frames: {}, name: 'evenness', size: '', range: '' }, ['along', 'across', 'size', 'range']);
  const { value } = it;
  const result = h('div', { id: 'evenness-answer' });
  const form = h('div', {});
  let readings = [];
  const places = (text) => text.split(/[\s;]+/).filter((one) => /^\d+([.,]\d+)?$/.test(one));

  function sheet() {
    const rows = ['frame,x_mm,y_mm,density'];
    for (const [frame, cells] of Object.entries(value.frames)) {
      for (const y of places(value.across)) {
        for (const x of places(value.along)) {
          const density = (cells[`${x}/${y}`] ?? '').trim().replace(',', '.');
          if (density !== '') rows.push([frame, x.replace(',', '.'), y.replace(',', '.'), density].map(cell).join(','));
        }
      }
    }
    return rows.length > 1 ? `${rows.join('\n')}\n` : '';
  }

  async function see() {
    const own = options([['--frame-mm', value.size], ['--paper-range', value.range]]);
    if (value.from === 'file') {
      if (value.file === '') return undefined;
      return ask(result, ['evenness', path(value.file), ...own, '--plot=evenness.svg', '--json', '--with-html']);
    }
    const text = sheet();
    if (text === '') return result.replaceChildren(h('p', { class: 'soft' }, 'Photograph an evenly lit, blank surface, develop the film, and type the densities of each frame at the places of the grid.'));
    const files = new Map([['typed.csv', bytesOf(text)]]);
    const run = (args) => look(args, { files });
    return ask(result, ['evenness', 'typed.csv', ...own, '--plot=evenness.svg', '--json', '--with-html'], { run });
  }
  const soon = settled(see, 300);

  function draw() {
    if (value.from === 'file') {
      form.replaceChildren(fields(it, [{ name: 'file', label: 'File of readings', mode: 'select', options: [['', 'choose'], ...readings.map((name) => [name, name])] }, { name: 'size', label: 'Frame, mm', placeholder: '36x24' }, { name: 'range', label: 'Range R of the paper', mode: 'decimal', placeholder: '105' }], soon));
      return;
    }
    const [xs, ys] = [places(value.along), places(value.across)];
    value.frames[value.frame] ??= {};
    const cells = value.frames[value.frame];
    const table = h('div', { class: 'map', id: 'map' });
    table.style.setProperty('--columns', Math.max(1, xs.length));
    // The upper edge of the frame stands above.
    for (const y of [...ys].reverse()) {
      for (const x of xs) {
        table.append(h('input', { inputmode: 'decimal', autocomplete: 'off', value: cells[`${x}/${y}`] ?? '', placeholder: `${x}, ${y}`, 'aria-label': `density at ${x} mm along and ${y} mm across, frame ${value.frame}`,
          oninput: (event) => {
            cells[`${x}/${y}`] = event.target.value;
            it.save();
            soon();
          } }));
      }
    }
    form.replaceChildren(
      fields(it, [{ name: 'frame', label: 'Frame' }], settled(draw, 600)), table,
      fields(it, [{ name: 'along', label: 'Places along the film, mm' }, { name: 'across', label: 'Places across it, mm', hint: 'from the edge that was lowest' }], settled(() => {
        draw();
        see();
      }, 600)),
      fields(it, [{ name: 'size', label: 'Frame, mm', placeholder: '36x24' }, { name: 'range', label: 'Range R of the paper', mode: 'decimal', placeholder: '105' }], soon),
      h('div', { class: 'row' }, button('Next frame', () => {
        const last = Object.keys(value.frames).map(Number).filter(Number.isFinite);
        value.frame = String(Math.max(0, ...last) + 1);
        it.save();
        draw();
      }), button('Keep the readings', async () => {
        const text = sheet();
        if (text === '') return;
        const names = await theFolder().names();
        let name = `${fileName(value.name)}.csv`;
        for (let n = 2; names.includes(name); n += 1) name = `${fileName(value.name)} ${n}.csv`;
        await keep(new Map([[name, bytesOf(text)]]));
        say(`Kept as ${name}.`);
      }, { class: 'main', id: 'keep-evenness' })));
  }

  const view = [h('h1', {}, 'Evenness'), h('div', { class: 'two' },
    h('section', { class: 'ask' }, choice('Readings', [['typed', 'Typed here'], ['file', 'From a file']], value.from, (from) => {
      value.from = from;
      it.save();
      draw();
      result.replaceChildren();
      see();
    }), form), h('section', { class: 'said' }, result))];
  const begun = (async () => {
    ({ readings } = await list());
    draw();
    await see();
  })();
  return { view, begun };
}
