// Any question of the program, as the guide writes it: what has no screen of its own is asked here.

import { draft } from './draft.js';
import { act } from './desk.js';
import { button, field, figure, h, messages, textOf, wordsOf } from './ui.js';

// What has no screen of its own.
const EXAMPLES = ['list', 'session --example', 'tone --help', 'trace --help', 'fix --help', '--help'];

/** How many letters of a fixed width a place has room for. */
function columns(place) {
  const probe = h('pre', { class: 'line' }, '0'.repeat(100));
  place.append(probe);
  const range = document.createRange();
  range.selectNodeContents(probe);
  const letter = range.getBoundingClientRect().width / 100;
  const { paddingLeft, paddingRight } = getComputedStyle(probe);
  const room = probe.clientWidth - parseFloat(paddingLeft) - parseFloat(paddingRight);
  probe.remove();
  return Math.max(30, Math.min(100, Math.floor(room / letter)));
}

export function screen() {
  const it = draft('line', { line: '' });
  const { value } = it;
  const result = h('div', { id: 'line-answer' });

  async function run() {
    const [first, ...rest] = wordsOf(value.line);
    const words = first === 'wedgebook' ? rest : [first, ...rest];
    if (words[0] === undefined) return;
    result.setAttribute('aria-busy', 'true');
    const answer = await act(words, { width: columns(result) });
    result.removeAttribute('aria-busy');
    const written = [...answer.files].filter(([, bytes]) => bytes);
    const figures = written.filter(([name]) => name.endsWith('.svg'));
    result.replaceChildren(
      answer.out === '' ? '' : h('pre', { class: 'line', tabindex: '0' }, answer.out),
      ...(answer.err === '' ? [] : [h('div', { class: answer.status === 2 ? 'refusal' : 'soft', role: answer.status === 2 ? 'alert' : null }, messages(answer.err).map((line) => h('p', {}, line)))]),
      written.length === 0 ? '' : h('p', { class: 'soft' }, `Written: ${written.map(([name]) => name).join(', ')}.`),
      ...figures.map(([name, bytes]) => figure(bytes, name)),
      ...written.filter(([name]) => name.endsWith('.html')).map(([name, bytes]) => h('iframe', { title: name, srcdoc: textOf(bytes), class: 'report' })));
    result.scrollIntoView({ block: 'start' });
  }

  const line = field(it, { name: 'line', label: 'Command', mode: 'text', placeholder: 'convert 9:00 --from 20 --to 21.3', wide: true });
  line.querySelector('input').addEventListener('keydown', (event) => {
    if (event.key === 'Enter') run();
  });
  line.querySelector('input').setAttribute('autocapitalize', 'none');
  const view = [h('h1', {}, 'Command line'), h('section', { class: 'ask' },
    h('p', {}, 'The program can be asked here as on a computer: plans of a session, tones from the scene to the print, strips beside each other. The files are those of this folder. ', h('code', {}, '--help'), ' lists the commands.'),
    h('div', { class: 'fields' }, line),
    h('div', { class: 'row' }, button('Ask', run, { class: 'main', id: 'ask-line' })),
    h('p', { class: 'soft' }, 'For example:'),
    h('div', { class: 'row' }, EXAMPLES.map((example) => button(example, () => {
      value.line = example;
      it.save();
      line.querySelector('input').value = example;
      line.querySelector('input').focus();
    })))), h('section', { class: 'said' }, result)];
  return { view, begun: null };
}
