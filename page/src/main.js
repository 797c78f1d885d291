// The page: it is there before the program is, and shows one task at a time.

import { Core, act, broken, look, onChange, openFolder, ready, theFolder } from './desk.js';
import { by, button, h } from './ui.js';
import * as strip from './strip.js';
import * as pairing from './pairing.js';
import * as today from './today.js';
import * as control from './control.js';
import * as bath from './bath.js';
import * as paper from './paper.js';
import * as evenness from './evenness.js';
import * as report from './report.js';
import * as files from './files.js';
import * as help from './help.js';
import * as line from './line.js';
import { reopenTimer } from './timer.js';

const BAR = [['strip', 'Strip', strip], ['pairing', 'Film', pairing], ['today', 'Today', today], ['bath', 'Bath', bath]];
const MORE = [['control', 'Control strip', control], ['paper', 'Paper and proof', paper], ['evenness', 'Evenness', evenness], ['report', 'Report', report], ['files', 'Files', files], ['line', 'Command line', line], ['help', 'Help', help]];
const SCREENS = new Map([...BAR, ...MORE].map(([key, , made]) => [key, made]));
const main = by('main');

let current = { view: [], begun: null };

function say(text, bad = false) {
  const place = by('said');
  place.textContent = text;
  place.className = bad ? 'refusal' : '';
  place.hidden = text === '';
}

const more = { screen: () => ({ view: [h('h1', {}, 'More'), h('div', { class: 'tiles' }, MORE.map(([key, label]) => h('a', { href: `#${key}`, id: `tile-${key}` }, label)))], begun: null }) };

/** Shows a screen; asked for again, it is drawn anew. */
function go(key, { focus = true } = {}) {
  if (location.hash !== `#${key}`) {
    location.hash = key;
    return;
  }
  const made = key === 'more' ? more : SCREENS.get(key);
  if (!made) return go('strip');

  by('said').hidden = true;
  mark(key);
  if (!theFolder()) return;
  current = made.screen({ say, go });
  main.replaceChildren(...current.view);
  document.title = `Wedgebook: ${main.querySelector('h1').textContent}`;
  main.dataset.screen = key;
  delete main.dataset.done;
  Promise.resolve(current.begun).then(() => { main.dataset.done = 'true'; }, (error) => {
    main.dataset.done = 'true';
    if (!(error instanceof Core.Broken)) say(error.message, true);
  });
  scrollTo(0, 0);
  if (focus) main.focus({ preventScroll: true });
}

function mark(key) {
  for (const link of document.querySelectorAll('#bar a')) {
    const own = link.hash === `#${key}` || (link.hash === '#more' && MORE.some(([other]) => other === key));
    const exact = link.hash === `#${key}`;
    link.toggleAttribute('data-here', own);
    if (exact) link.setAttribute('aria-current', 'page');
    else link.removeAttribute('aria-current');
  }
}

function drawBar() {
  const link = (key, label, wide) => h('a', { href: `#${key}`, id: `to-${key}`, class: wide ? 'wide-only' : null }, h('span', {}, label));
  by('bar').append(...BAR.map(([key, label]) => link(key, label)), ...MORE.map(([key, label]) => link(key, label, true)), h('a', { href: '#more', id: 'to-more', class: 'narrow-only' }, h('span', {}, 'More')));
}

const SCHEME = 'wedgebook-look';
function look_(scheme, kept) {
  document.documentElement.dataset.scheme = scheme;
  for (const one of document.querySelectorAll('[data-scheme-is]')) one.setAttribute('aria-pressed', String(one.dataset.schemeIs === scheme));
  if (!kept) return;
  try {
    localStorage.setItem(SCHEME, scheme);
  } catch {
    // It lasts as long as the window.
  }
}

function firstLook() {
  let scheme = null;
  try {
    scheme = localStorage.getItem(SCHEME);
  } catch {
    // As the device has it.
  }
  const dark = matchMedia('(prefers-color-scheme: dark)').matches;
  look_(['light', 'dark', 'red'].includes(scheme) ? scheme : dark ? 'dark' : 'light', false);
  for (const one of document.querySelectorAll('[data-scheme-is]')) one.addEventListener('click', () => look_(one.dataset.schemeIs, true));
}

// What a screen does not say itself, as a file that the device does not keep.
addEventListener('unhandledrejection', ({ reason }) => {
  if (!(reason instanceof Core.Broken)) say(reason?.message ?? String(reason), true);
});

/** The program met a state that must not be. */
broken.show = () => {
  const over = by('over');
  over.hidden = false;
  document.body.classList.add('covered');
  over.replaceChildren(h('div', { class: 'broken', role: 'alertdialog', 'aria-label': 'The program stopped' },
    h('p', {}, 'The program met a state that must not be, and stopped; your files are as they were before this question.'),
    h('div', { class: 'row' }, button('Save everything to a file', () => files.saveAll(), { class: 'main', id: 'save-everything' }), button('Load the page again', () => location.reload(), { id: 'load-again' }))));
  by('save-everything').focus();
};

function onKey(event) {
  if (!event.altKey || event.ctrlKey || event.metaKey) return;
  const n = Number(event.key);
  const keys = [...BAR.map(([key]) => key), 'more'];
  if (n >= 1 && n <= keys.length) {
    event.preventDefault();
    go(keys[n - 1]);
  }
}

firstLook();
drawBar();
addEventListener('hashchange', () => go(location.hash.slice(1) || 'strip'));
document.addEventListener('keydown', onKey);

async function begin() {
  const made = ready.then(() => {
    by('making').hidden = true;
    document.documentElement.dataset.ready = 'true';
  });
  made.catch((error) => {
    by('making').textContent = `The program cannot run in this browser (${error.message}). A newer browser is needed; your files are kept.`;
    by('making').className = 'refusal';
  });
  try {
    await openFolder();
  } catch (error) {
    say(error.message, true);
    main.replaceChildren(h('h1', {}, 'No folder'), h('p', {}, error.message));
    return;
  }
  onChange((names, other) => {
    if (other) say(`Another window changed ${names.slice(0, 3).join(', ')}${names.length > 3 ? ' and more' : ''}.`);
    current.redraw?.();
  });
  const key = location.hash.slice(1) || 'strip';
  if (location.hash === '') history.replaceState(null, '', `#${key}`);
  go(SCREENS.has(key) || key === 'more' ? key : 'strip', { focus: false });
  reopenTimer({ say, go });
  await made;
  // The folder as `start` lays it down, at the first visit.
  if ((await theFolder().names()).length === 0) {
    const answer = await act(['start', '.', '--json']);
    if (answer.status === 2) say(answer.err, true);
  }
}

// For whoever writes a script: a command line asked of the folder, which it does not change.
globalThis.wedgebook = { ask: (args, options) => look(args, options) };

begin().catch((error) => {
  if (!(error instanceof Core.Broken)) say(error.message, true);
});


