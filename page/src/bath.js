// A bath: its standing, its journal, its charts, the films that are left; and what is entered.

import { draft } from './draft.js';
import { act, list, look } from './desk.js';
import { ask } from './control.js';
import { button, choice, document_of, field, fields, fileName, folded, h, options, path } from './ui.js';

const LOOKS = [['status', 'Standing'], ['forecast', 'Films left'], ['chart', 'Charts'], ['log', 'Journal']];
const ACTS = [['film', 'Films'], ['replenish', 'Replenisher'], ['strip', 'Control strip'], ['note', 'Note'], ['mix', 'New mix'], ['discard', 'Thrown away']];

export function screen({ go, say }) {
  const it = draft('bath', { bath: '', what: 'status', act: 'film', day: '', entry: '', rolls: '', format: '135-36', added: '', removed: '', note: '', text: '', litres: '', developer: '', dilution: '', newLitres: '', newDeveloper: '', newDilution: '', from: '', name: 'bath', lowest: '', pairing: '' }, ['bath', 'lowest', 'day']);
  const { value } = it;
  const top = h('div', {});
  const result = h('div', { id: 'bath-answer' });
  const entry = h('div', { id: 'bath-entry' });
  const entered = h('div', { id: 'bath-entered' });
  let known = { baths: [], pairings: [], readings: [] };

  /** Whether an answer has all that a pairing gives to it. */
  const whole = (said) => said && (value.what !== 'status' || said.minutes_today);

  async function see() {
    if (value.bath === '') return;
    const own = {
      status: [...options([['--date', value.day], ['--pairing', value.pairing && path(value.pairing)]])],
      forecast: [...options([['--date', value.day], ['--lowest-activity', value.lowest], ['--pairing', value.pairing && path(value.pairing)]])],
      chart: ['--plot=chart.svg', ...options([['--date', value.day], ['--pairing', value.pairing && path(value.pairing)]])],
      log: [],
    }[value.what];
    const words = ['bath', value.what, path(value.bath), ...own, '--json', '--with-html'];
    const said = await ask(result, words);
    // The journal may name a pairing that has another name here: the only one there is, is asked for then.
    if (value.what !== 'log' && !whole(said) && value.pairing === '' && known.pairings.length === 1) {
      const pairing = `--pairing=${path(known.pairings[0].file)}`;
      if (whole(document_of(await look([...words, pairing])))) await ask(result, [...words, pairing]);
    }
    if (value.what === 'log') result.append(h('div', { class: 'row' }, button('Take back the last entry', undo, { id: 'undo-entry' })));
    if (value.what === 'forecast') {
      result.append(fields(it, [{ name: 'lowest', label: 'Lowest usable activity', mode: 'decimal', placeholder: '0.8' }]), h('div', { class: 'row' }, button('Work it out again', see)));
    }
  }

  const undo = () => ask(entered, ['bath', 'undo', path(value.bath), '--json', '--with-html'], { run: act, done: after });

  function after() {
    say(`${value.bath} was written.`);
    see();
  }

  function enter() {
    const day = [['--date', value.entry]];
    const bath = path(value.bath);
    const note = [['--note', value.note]];
    const words = {
      film: () => ['bath', 'film', bath, ...(value.rolls.trim() === '' ? [] : [`--rolls=${value.format === '135-36' ? '' : `${value.format}=`}${value.rolls.trim()}`]), ...options([...day, ...note])],
      replenish: () => ['bath', 'replenish', bath, ...options([['--added-ml', value.added], ['--removed-ml', value.removed], ...day, ...note])],
      note: () => ['bath', 'note', bath, ...options(day), '--json', '--with-html', '--', value.text],
      mix: () => ['bath', 'mix', bath, ...options([['--litres', value.litres], ['--what', value.developer], ['--dilution', value.dilution], ...day, ...note])],
      discard: () => ['bath', 'discard', bath, ...options([...day, ...note])],
    }[value.act]();
    const json = words.includes('--') ? [] : ['--json', '--with-html'];
    ask(entered, [...words, ...json], { run: act, done: () => {
      it.clear(['rolls', 'added', 'removed', 'note', 'text', 'litres']);
      drawEntry();
      after();
    } });
  }

  function drawEntry() {
    const day = { name: 'entry', label: 'Day', mode: 'date', hint: 'else today' };
    const note = { name: 'note', label: 'Note' };
    const own = {
      film: [{ name: 'rolls', label: 'How many', mode: 'numeric' }, { name: 'format', label: 'Format', mode: 'select', options: ['135-36', '135-24', '120', '220'].map((one) => [one, one]) }, day, note],
      replenish: [{ name: 'added', label: 'Added, ml', mode: 'decimal' }, { name: 'removed', label: 'Taken out before, ml', mode: 'decimal', placeholder: 'as much' }, day, note],
      note: [{ name: 'text', label: 'Remark', mode: 'area', wide: true }, day],
      mix: [{ name: 'litres', label: 'Litres', mode: 'decimal' }, { name: 'developer', label: 'Developer', placeholder: 'Quillback 1+6' }, { name: 'dilution', label: 'Dilution', placeholder: '1+6' }, day, note],
      discard: [day, note],
    }[value.act];
    entry.replaceChildren(own ? fields(it, own) : h('p', {}, 'A control strip is judged first, and entered from there.'),
      h('div', { class: 'row' }, own ? button('Enter', enter, { class: 'main', id: 'enter' }) : button('Control strip', () => go('control'))));
  }

  const fresh = h('details', {}, h('summary', {}, 'Begin a journal for another bath'),
    fields(it, [{ name: 'name', label: 'Name of the bath' }, { name: 'newLitres', label: 'Litres', mode: 'decimal' }, { name: 'newDeveloper', label: 'Developer', placeholder: 'Quillback 1+6' }, { name: 'newDilution', label: 'Dilution', placeholder: '1+6' }, { name: 'from', label: 'Mixed on', mode: 'date', hint: 'else today' }]),
    h('div', { class: 'row' }, button('Mix it', () => {
      const name = `${fileName(value.name)}.csv`;
      ask(entered, ['bath', 'mix', path(name), ...options([['--litres', value.newLitres], ['--what', value.newDeveloper], ['--dilution', value.newDilution], ['--date', value.from]]), '--json', '--with-html'], { run: act, done: () => {
        value.bath = name;
        it.clear(['newLitres']);
        say(`${name} was written.`);
        go('bath');
      } });
    }, { id: 'mix' })));

  const view = [h('h1', {}, 'Bath'), h('div', { class: 'two' },
    h('section', { class: 'said' }, top,
      choice('What is shown', LOOKS, value.what, (what) => {
        value.what = what;
        it.save();
        see();
      }), h('div', { class: 'row narrow-row' }, button('Enter films, replenisher, a note', () => {
      entry.scrollIntoView({ block: 'center' });
      entry.querySelector('input, textarea, button')?.focus({ preventScroll: true });
    }, { id: 'to-entry' })), result),
    h('section', { class: 'ask' }, h('h2', {}, 'Enter'),
      choice('What is entered', ACTS, value.act, (what) => {
        value.act = what;
        it.save();
        entered.replaceChildren();
        drawEntry();
      }), entry, entered, fresh))];

  const begun = (async () => {
    known = await list();
    if (known.baths.length === 0) {
      result.replaceChildren(h('p', {}, 'No bath has a journal yet. Begin one when it is mixed.'));
      fresh.open = true;
      view[1].classList.add('none');
    } else {
      const other = [field(it, { name: 'day', label: 'Judged on', mode: 'date', hint: 'else today' }, see)];
      if (known.pairings.length > 0) other.push(field(it, { name: 'pairing', label: 'Pairing', mode: 'select', options: [['', 'that of the last strip'], ...known.pairings.map((one) => [one.file, one.name])] }, see));
      top.replaceChildren(field(it, { name: 'bath', label: 'Bath', mode: 'select', options: known.baths.map((one) => [one.file, `${one.file} ${one.developer ?? ''}`]) }, see), folded('Another day, another pairing', h('div', { class: 'fields' }, other)));
    }
    drawEntry();
    await see();
  })();
  return { view, begun };
}
