// The report: what is known, as one page to show, print and send.

import { draft } from './draft.js';
import { list, look, remedies } from './desk.js';
import { chosenFiles } from './pairing.js';
import { button, download, fields, h, options, path, refusal, textOf } from './ui.js';

export function screen() {
  const it = draft('report', { chosen: [], title: '', date: '', clear: '' }, ['clear']);
  const { value } = it;
  const files = h('div', {});
  const result = h('div', { id: 'report-answer' });

  async function make(more = []) {
    result.setAttribute('aria-busy', 'true');
    const args = ['report', ...value.chosen.map(path), '--out=report.html', '--with-html', ...options([['--title', value.title], ['--date', value.date], ['--log-exposure-clear', value.clear]]), ...more];
    const answer = await look(args);
    result.removeAttribute('aria-busy');
    const page = answer.files.get('report.html');
    if (!page) {
      const ways = await remedies(args);
      result.replaceChildren(refusal(answer), h('div', { class: 'row' }, ways.map((way) => button(way.label, () => make([...more, ...way.words])))));
      return;
    }
    const frame = h('iframe', { id: 'report', title: 'Report', srcdoc: textOf(page), class: 'report' });
    requestAnimationFrame(() => result.scrollIntoView({ block: 'start' }));
    result.replaceChildren(h('div', { class: 'row' }, button('Save the report', () => download('report.html', page), { class: 'main', id: 'save-report' }), button('Print', () => frame.contentWindow.print())), frame);
  }

  const view = [h('h1', {}, 'Report'), h('div', { class: 'two' },
    h('section', { class: 'ask' }, h('h2', {}, 'What it is about'), files,
      fields(it, [{ name: 'title', label: 'Title' }, { name: 'date', label: 'Baths are judged on', mode: 'date', hint: 'else today' }, { name: 'clear', label: 'Log exposure behind clear tablet', mode: 'decimal' }]),
      h('div', { class: 'row' }, button('Make the report', () => make(), { class: 'main', id: 'make-report' }))),
    h('section', { class: 'said' }, result))];
  const begun = (async () => {
    const known = await list();
    const names = [...known.pairings, ...known.baths, ...known.papers].map((one) => one.file);
    files.replaceChildren(chosenFiles(it, [...new Set([...names, ...known.readings])], () => {}));
    if (names.length + known.readings.length === 0) files.replaceChildren(h('p', {}, 'Nothing is in the folder yet that a report could be about.'));
  })();
  return { view, begun };
}
