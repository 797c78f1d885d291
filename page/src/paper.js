// Paper and proof: the range of a paper, the time of a contact proof, the paper that negatives need.

import { draft } from './draft.js';
import { list } from './desk.js';
import { ask } from './control.js';
import { button, choice, field, fields, h, options, path, settled } from './ui.js';

export function screen({ go }) {
  const it = draft('paper', { what: 'proof', paper: '', clear: '', range: '', test: [['', '']], white: '', negatives: '', setting: '', fromFile: '', negativesFile: '' }, ['paper', 'clear', 'range']);
  const { value } = it;
  const result = h('div', { id: 'paper-answer' });
  const form = h('div', {});
  let known = { papers: [], readings: [] };
  const papers = () => [['', 'none'], ...known.papers.map((one) => [one.file, one.name ?? one.file]), ...known.readings.map((name) => [name, name])];

  async function see() {
    if (value.what === 'paper') {
      if (value.paper === '') return result.replaceChildren(h('p', { class: 'soft' }, 'Choose the readings of a print of the step tablet.'));
      return ask(result, ['paper', path(value.paper), ...options([['--log-exposure-clear', value.clear], ['--paper-range', value.range]]), '--plot=paper.svg', '--json', '--with-html']);
    }
    const test = value.test.filter(([seconds, density]) => seconds.trim() !== '' && density.trim() !== '').map(([seconds, density]) => `${seconds.trim()}=${density.trim()}`);
    const strip = value.fromFile === '' ? test : [path(value.fromFile)];
    const negatives = value.negatives.split(/\n/).map((line) => line.trim()).filter((line) => line !== '').map((line) => `--negative=${line.replace(/\s+/g, ':')}`);
    if (value.negativesFile !== '') negatives.push(`--negative=${path(value.negativesFile)}`);
    if (strip.length === 0 && negatives.length === 0) return result.replaceChildren(h('p', { class: 'soft' }, 'Type the seconds and the densities of a test strip that was printed through clear film.'));
    const plot = strip.length > 0 ? ['--plot=proof.svg'] : [];
    return ask(result, ['proof', ...strip, ...negatives, ...options([['--white', value.white], ['--paper', value.paper && path(value.paper)], ['--setting', value.setting]]), ...plot, '--json', '--with-html']);
  }
  const soon = settled(see, 250);

  function drawTest(place) {
    if (value.test.at(-1).some((text) => text.trim() !== '')) value.test.push(['', '']);
    place.replaceChildren(...value.test.map((pair, row) => h('div', { class: 'pair' }, pair.map((text, k) => h('input', {
      inputmode: 'decimal', autocomplete: 'off', value: text, placeholder: k === 0 ? 'seconds' : 'density', 'aria-label': `${k === 0 ? 'seconds' : 'density'} of exposure ${row + 1}`, id: `test-${row}-${k}`,
      oninput: (event) => {
        value.test[row][k] = event.target.value;
        it.save();
        if (row === value.test.length - 1) {
          value.test.push(['', '']);
          const focus = event.target.id;
          drawTest(place);
          const again = place.querySelector(`#${focus}`);
          again.focus();
          again.setSelectionRange(again.value.length, again.value.length);
        }
        soon();
      },
    })))));
  }

  function draw() {
    if (value.what === 'paper') {
      form.replaceChildren(field(it, { name: 'paper', label: 'Readings of the paper', mode: 'select', options: papers() }, soon),
        fields(it, [{ name: 'range', label: 'Range R that is wanted', mode: 'decimal', placeholder: '95' }, { name: 'clear', label: 'Log exposure behind clear tablet', mode: 'decimal' }], soon));
    } else {
      const test = h('div', { class: 'pairs', id: 'test' });
      drawTest(test);
      form.replaceChildren(h('h2', {}, 'Test strip'), test,
        fields(it, [{ name: 'fromFile', label: 'or its file', mode: 'select', options: [['', 'typed above'], ...known.readings.map((name) => [name, name])] }, { name: 'white', label: 'Unexposed paper', mode: 'decimal', placeholder: '0.06', hint: 'its density' }], soon),
        h('h2', {}, 'Negatives'),
        fields(it, [{ name: 'negatives', label: 'Lowest and highest density that print with detail, a line each', mode: 'area', wide: true, placeholder: '0.42 1.21' },
          { name: 'negativesFile', label: 'or their file', mode: 'select', options: [['', 'typed above'], ...known.readings.map((name) => [name, name])] },
          { name: 'paper', label: 'Paper', mode: 'select', options: papers() }, { name: 'setting', label: 'Setting of the paper' }], soon));
    }
  }

  const view = [h('h1', {}, 'Paper and proof'), h('div', { class: 'two' },
    h('section', { class: 'ask' }, choice('What is asked', [['proof', 'Contact proof'], ['paper', 'Paper']], value.what, (what) => {
      value.what = what;
      it.save();
      draw();
      see();
    }), form, h('div', { class: 'row' }, button('Files', () => go('files')))),
    h('section', { class: 'said' }, result))];
  const begun = (async () => {
    known = await list();
    draw();
    await see();
  })();
  return { view, begun };
}
