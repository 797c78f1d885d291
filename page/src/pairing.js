// A film in a developer: strips gathered to a pairing.

import { draft } from './draft.js';
import { act, list, look, remedies } from './desk.js';
import { aside, button, document_of, fields, figure, fileName, folded, h, options, path, piece, refusal } from './ui.js';

const it = () => draft('pairing', { chosen: [], name: '', clear: '', reference: '', range: '', kept: '', celsius: '', stops: '' }, ['clear', 'reference', 'range']);

/** Boxes to choose files by. */
export function chosenFiles(draft, names, onchange) {
  draft.value.chosen = draft.value.chosen.filter((name) => names.includes(name));
  const boxes = names.map((name, n) => h('label', { class: 'field check', for: `file-${n}` },
    h('input', { type: 'checkbox', id: `file-${n}`, 'data-file': name, checked: draft.value.chosen.includes(name), onchange: (event) => {
      const others = draft.value.chosen.filter((other) => other !== name);
      draft.value.chosen = event.target.checked ? [...others, name] : others;
      draft.save();
      onchange();
    } }), h('span', {}, name)));
  return h('div', { class: 'files' }, boxes);
}

export function screen({ say, go }) {
  const form = it();
  const { value } = form;
  const strips = h('div', {});
  const result = h('div', { id: 'pairing-answer' });
  const card = h('div', { id: 'card' });
  let turn = 0;

  const argsFor = (out) => ['calibrate', ...value.chosen.map(path), `--out=${out}`, '--plot=pairing.svg', '--json', '--with-html',
    ...options([['--name', value.name], ['--log-exposure-clear', value.clear], ['--reference', value.reference], ['--paper-range', value.range]])];

  async function calibrate(more = []) {
    turn += 1;
    const mine = turn;
    if (value.chosen.length === 0) {
      result.replaceChildren(h('p', { class: 'soft' }, 'Choose the strips of one film in one developer. One strip begins a pairing; five of several times, one of them warmer, make a good one.'));
      return;
    }
    result.setAttribute('aria-busy', 'true');
    const args = [...argsFor('new pairing.toml'), ...more];
    const answer = await look(args);
    if (mine !== turn) return;
    result.removeAttribute('aria-busy');
    const said = document_of(answer);
    if (!said) {
      const ways = await remedies(args);
      if (mine !== turn) return;
      result.replaceChildren(refusal(answer), h('div', { class: 'row' }, ways.map(({ words, label }) => button(label, () => calibrate([...more, ...words])))));
      return;
    }
    const figures = [...answer.files].filter(([name, bytes]) => name.endsWith('.svg') && bytes);
    const name = value.name || said.pairing?.name || 'pairing';
    result.replaceChildren(
      ...figures.slice(0, 1).map(([file, bytes]) => figure(bytes, file)),
      h('div', { class: 'row' }, button('Keep this pairing', () => keepIt(name, more), { class: 'main', id: 'keep-pairing' })),
      piece(said.html), aside(answer) || '',
      ...figures.slice(1).map(([file, bytes]) => folded('The curves of the strips', figure(bytes, file))));

  }

  async function keepIt(name, more) {
    const out = `${fileName(name)}.toml`;
    const args = [...argsFor(path(out)).filter((word) => !word.startsWith('--plot=')), ...more];
    const answer = await act(args);
    if (answer.status === 2) {
      const ways = await remedies(args);
      result.append(refusal(answer), h('div', { class: 'row' }, ways.map(({ words, label }) => button(label, () => keepIt(name, [...more, ...words])))));
      return;
    }
    value.kept = out;
    form.save();
    say(`Kept as ${out}.`);
    await offerCard();
  }

  async function offerCard() {
    if (value.kept === '') return;
    card.replaceChildren(h('h2', {}, value.kept),
      fields(form, [{ name: 'celsius', label: 'Temperature of the card', mode: 'decimal', placeholder: '20' }, { name: 'stops', label: 'Scene, stops', mode: 'decimal', placeholder: '7' }]),
      h('div', { class: 'row' }, button('Draw the card for the wall', async () => {
        const answer = await look(['adjust', path(value.kept), '--card=card.svg', '--json', '--with-html', ...options([['-t', value.celsius], ['--scene-stops', value.stops]].map(([n, v]) => [n === '-t' ? '--temperature' : n, v]))]);
        const svg = answer.files.get('card.svg');
        card.querySelector('.drawn').replaceChildren(svg ? figure(svg, 'card.svg') : refusal(answer));
      }, { id: 'draw-card' }), button('Time for today', () => go('today'))), h('div', { class: 'drawn' }));
  }

  const view = [h('h1', {}, 'Film and developer'), h('div', { class: 'two' },
    h('section', { class: 'ask' }, h('h2', {}, 'Strips'), strips,
      fields(form, [{ name: 'name', label: 'Name of the pairing', hint: 'else film and developer' }, { name: 'clear', label: 'Log exposure behind clear tablet', mode: 'decimal', hint: 'for speeds, where it is known' }], () => {}),
      folded('Reference temperature, paper', fields(form, [{ name: 'reference', label: 'Reference temperature', mode: 'decimal', placeholder: '20' }, { name: 'range', label: 'Range R of the paper', mode: 'decimal', placeholder: '105' }])),
      h('div', { class: 'row' }, button('Calculate', async () => {
        await calibrate();
        result.scrollIntoView({ block: 'start' });
      }, { class: 'main', id: 'calibrate' }))),
    h('section', { class: 'said' }, result, card))];

  const begun = (async () => {
    const { readings } = await list();
    // What was typed here comes first.
    const sorted = [...readings].sort((a, b) => b.startsWith('strips/') - a.startsWith('strips/'));
    strips.replaceChildren(readings.length > 0 ? chosenFiles(form, sorted, calibrate)
      : h('p', {}, 'No strip is in the folder yet. ', button('Type a strip', () => go('strip'))));
    await calibrate();
    await offerCard();
  })();
  return { view, begun };
}
