// A control strip: the verdict, what to do, and its entry in the journal.

import { draft } from './draft.js';
import { act, added, list, look, remedies } from './desk.js';
import { aside, button, document_of, field, fields, figure, folded, h, options, path, piece, refusal, settled } from './ui.js';

/** The answer of a command, with buttons that ask again with one more word where it is refused. */
export async function ask(place, args, { run = look, done, more = [] } = {}) {
  place.setAttribute('aria-busy', 'true');
  const words = added(args, more);
  const answer = await run(words);
  place.removeAttribute('aria-busy');
  const said = document_of(answer);
  if (said) {
    const svg = [...answer.files].find(([name, bytes]) => name.endsWith('.svg') && bytes && args.some((word) => word.startsWith('--plot=')));
    const all = piece(said.html);
    const main = all.querySelector(':scope > dl, :scope > .wide');
    const rest = svg && main ? [...all.children].slice([...all.children].indexOf(main) + 1) : [];
    const more = rest.length > 0 && folded('All of it, and what is assumed', h('div', { class: 'answer' }, rest));
    place.replaceChildren(all, ...(svg ? [figure(svg[1], svg[0])] : []), more || '', aside(answer) || '');
    if (run !== look) place.scrollIntoView({ block: 'nearest' });
    done?.(said, answer, more);
    return said;
  }
  const ways = await remedies(words);
  if (run !== look) requestAnimationFrame(() => place.scrollIntoView({ block: 'nearest' }));
  place.replaceChildren(refusal(answer), h('div', { class: 'row ways' }, ways.map((way) => button(way.label, () => ask(place, args, { run, done, more: [...more, ...way.words] })))));
  return null;
}

export function screen({ go, say }) {
  const it = draft('control', { pairing: '', strip: '', minutes: '', celsius: '', bath: '', batch: '', note: '', date: '', clear: '' }, ['pairing', 'bath', 'clear']);
  const { value } = it;
  const choose = h('div', { class: 'fields' });
  const result = h('div', { id: 'control-answer' });
  const enter = h('div', { id: 'control-enter' });
  const of = () => options([['--minutes', value.minutes], ['--temperature', value.celsius], ['--log-exposure-clear', value.clear]]);

  async function verify() {
    if (value.pairing === '' || value.strip === '') return;
    enter.hidden = true;
    const said = await ask(result, ['verify', path(value.pairing), path(value.strip), ...of(), '--plot=control.svg', '--json', '--with-html']);
    enter.hidden = !said;
  }
  const soon = settled(verify, 250);

  const view = [h('h1', {}, 'Control strip'), h('div', { class: 'two' },
    h('section', { class: 'ask' }, choose,
      fields(it, [{ name: 'minutes', label: 'Developed, minutes', placeholder: 'as in the file' }, { name: 'celsius', label: 'Temperature', mode: 'decimal', placeholder: 'as in the file' },
        { name: 'clear', label: 'Log exposure behind clear tablet', mode: 'decimal', placeholder: 'as the pairing' }], soon),
      h('div', { class: 'row' }, button('Type a control strip', () => go('strip')))),
    h('section', { class: 'said' }, result, enter))];

  const begun = (async () => {
    const { pairings, baths, readings } = await list();
    if (pairings.length === 0 || readings.length === 0) {
      result.replaceChildren(h('p', {}, 'A verdict needs a pairing, and the readings of a control strip.'));
      return;
    }
    choose.replaceChildren(
      field(it, { name: 'pairing', label: 'Film and developer', mode: 'select', options: pairings.map((one) => [one.file, one.name]) }, soon),
      field(it, { name: 'strip', label: 'Control strip', mode: 'select', options: [['', 'choose'], ...readings.map((name) => [name, name])] }, soon));
    const entered = h('div', {});
    enter.replaceChildren(h('h2', {}, 'Enter it in the journal'),
      fields(it, [{ name: 'bath', label: 'Bath', mode: 'select', options: baths.map((one) => [one.file, one.file]) }, { name: 'batch', label: 'Batch of film' }, { name: 'note', label: 'Note' }, { name: 'date', label: 'Day', mode: 'date', hint: 'else that of the strip' }]),
      h('div', { class: 'row' }, button('Enter', () => ask(entered, ['bath', 'strip', path(value.bath), path(value.pairing), path(value.strip), ...of(),
        ...options([['--date', value.date], ['--batch', value.batch], ['--note', value.note]]), '--json', '--with-html'], { run: act, done: () => say(`Entered in ${value.bath}.`) }), { class: 'main', id: 'enter-strip' })), entered);
    enter.hidden = true;
    if (baths.length === 0) enter.replaceChildren(h('p', {}, 'No bath has a journal yet. ', button('Mix a bath', () => go('bath'))));
    await verify();
  })();
  return { view, begun };
}
