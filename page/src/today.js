// How long today, in the largest figures there are; and on to the timer.

import { draft } from './draft.js';
import { list, look, remedies } from './desk.js';
import { ask as answered } from './control.js';
import { aside, button, document_of, field, fields, folded, h, headline, options, path, refusal, settled, textOf } from './ui.js';
import { openTimer } from './timer.js';

// How a time is calculated that is not given at once.
const WITHHELD = [
  { words: ['--anyway'], label: 'Calculate all the same' },
  { words: ['--extrapolate'], label: 'Calculate outside of what was measured' },
  { words: ['--anyway', '--extrapolate'], label: 'Calculate all the same, outside of what was measured' },
];

export const form = () => draft('today', { pairing: '', bath: '', celsius: '', aim: 'scene', stops: '7', contrast: '', range: '', exposed: '', agitation: '', date: '', chart: '', from: '' },
  ['pairing', 'bath', 'aim', 'stops', 'contrast', 'range', 'agitation']);

export function screen({ go, say }) {
  const it = form();
  const { value } = it;
  const result = h('div', { id: 'today-answer' });
  const choose = h('div', { class: 'fields' });
  const aims = h('div', {});
  let turn = 0;
  let anyway = [];

  const target = () => (value.aim === 'contrast' ? [['--contrast', value.contrast]] : [['--scene-stops', value.stops]]);
  const args = (command) => [command, path(value.pairing), ...options([['--temperature', value.celsius], ...target(), ['--paper-range', value.aim === 'contrast' ? '' : value.range],
    ['--bath', value.bath && path(value.bath)], ['--date', value.date], ...(command === 'adjust' ? [['--exposed-at', value.exposed], ['--agitation', value.agitation]] : [])]), ...anyway, '--json', '--with-html'];

  async function ask() {
    turn += 1;
    const mine = turn;
    if (value.pairing === '') return;
    result.setAttribute('aria-busy', 'true');
    const answer = await look(args('adjust'));
    if (mine !== turn) return;
    result.removeAttribute('aria-busy');
    const said = document_of(answer);
    if (!said) {
      const ways = await remedies(args('adjust'));
      if (mine !== turn) return;
      result.replaceChildren(refusal(answer), more(ways), value.bath !== '' && h('div', { class: 'row' }, button('Control strip', () => go('control')), button('Bath', () => go('bath'))) || '');
      return;
    }
    const view = headline(said.html, ['minutes', 'exposure_index'], 'All of it, and what is assumed');
    view.classList.add('today');
    result.replaceChildren(view, aside(answer) || '');
    if (said.minutes) {
      view.querySelector('details').before(h('div', { class: 'row' }, button('Start', () => start(), { class: 'main start', id: 'start-timer' })));
    } else if (answer.status === 1) {
      for (const way of WITHHELD) {
        if (way.words.some((word) => anyway.includes(word))) continue;
        const tried = await look([...args('adjust'), ...way.words]);
        if (mine !== turn) return;
        if (document_of(tried)?.minutes) {
          result.append(more([{ ...way, words: [...anyway, ...way.words] }]));
          break;
        }
      }
    }
  }

  const more = (ways) => h('div', { class: 'row' }, ways.map(({ words, label }) => button(label, () => {
    anyway = words;
    ask();
  })));

  async function start() {
    const answer = await look([...args('bench'), '--out=timer.html']);
    const page = answer.files.get('timer.html');
    if (!page) {
      result.append(refusal(answer));
      return;
    }
    openTimer({ html: textOf(page), say, go });
  }

  const soon = settled(() => {
    anyway = [];
    ask();
  }, 200);
  function drawAims() {
    const scene = [{ name: 'stops', label: 'Scene, stops', mode: 'decimal' }, { name: 'range', label: 'Range R of the paper', mode: 'decimal', placeholder: 'as the pairing' }];
    aims.replaceChildren(fields(it, value.aim === 'contrast' ? [{ name: 'contrast', label: 'Contrast wanted', mode: 'decimal', placeholder: '0.58' }] : scene, soon));
  }

  // Without strips: the time of a chart at another temperature.
  const converted = h('div', { id: 'converted' });
  const other = () => answered(converted, ['convert', value.chart.trim(), ...options([['--from', value.from], ['--to', value.celsius]]), '--json', '--with-html']);
  const chart = folded('A known time, at another temperature',
    h('p', {}, 'A first time where there are no strips yet: that of a chart, at the temperature above. It is for a fresh bath: how a kept one stands is not in it.'),
    fields(it, [{ name: 'chart', label: 'Time of the chart', placeholder: '9:00' }, { name: 'from', label: 'At', mode: 'decimal', placeholder: '20' }]),
    h('div', { class: 'row' }, button('Convert it', other, { id: 'convert' })), converted);

  const view = [h('h1', {}, 'Today'), h('div', { class: 'two turned' },
    h('section', { class: 'said' }, result),
    h('section', { class: 'ask' },
      fields(it, [{ name: 'celsius', label: 'Temperature of the bath', mode: 'decimal', placeholder: '20.5 or 70F' }], soon),
      choose,
      h('div', { class: 'fields' }, field(it, { name: 'aim', label: 'Aim', mode: 'select', options: [['scene', 'a scene and a paper'], ['contrast', 'a contrast']] }, () => {
        drawAims();
        soon();
      })), aims,
      chart, folded('Exposed at another index, agitation, another day', fields(it, [{ name: 'exposed', label: 'Meter was set to', mode: 'decimal' }, { name: 'agitation', label: 'Agitation today' }, { name: 'date', label: 'Day', mode: 'date' }], soon))))];

  const begun = (async () => {
    drawAims();
    const { pairings, baths } = await list();
    if (pairings.length === 0) {
      result.replaceChildren(h('p', {}, 'A time needs a pairing: strips of the film in the developer. Without strips, a known time can be converted.'), h('div', { class: 'row' }, button('Film and developer', () => go('pairing')), button('Take the demonstration', () => go('files'))));
      chart.open = true;
      return;
    }
    choose.replaceChildren(
      field(it, { name: 'pairing', label: 'Film and developer', mode: 'select', options: pairings.map((one) => [one.file, one.name]) }, soon),
      field(it, { name: 'bath', label: 'Bath', mode: 'select', options: [['', 'fresh, or used once'], ...baths.map((one) => [one.file, `${one.file} ${one.developer ?? ''}`])] }, soon));
    await ask();
  })();
  return { view, begun };
}
