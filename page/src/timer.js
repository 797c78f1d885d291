// The timer: the page that `bench` writes, over the whole screen. What it wrote comes back into the folder.

import { act, keep, remedies, theFolder } from './desk.js';
import { by, bytesOf, button, document_of, h, piece, refusal, wordsOf } from './ui.js';

const KEY = 'wedgebook-timer';

function kept() {
  try {
    return sessionStorage.getItem(KEY);
  } catch {
    return null;
  }
}

function keepPage(html) {
  try {
    if (html === null) sessionStorage.removeItem(KEY);
    else sessionStorage.setItem(KEY, html);
  } catch {
    // The timer then ends with its window.
  }
}

/** Goes on with the timer that was open when the page was loaded again. */
export function reopenTimer(ways) {
  const html = kept();
  if (html !== null) openTimer({ html, ...ways });
}

export function openTimer({ html, say, go }) {
  keepPage(html);
  const over = by('over');
  const frame = h('iframe', { id: 'timer', title: 'Timer', srcdoc: html, allow: 'screen-wake-lock *; autoplay *; clipboard-write *' });
  const out = h('div', { class: 'end', id: 'timer-end', hidden: true });
  const close = () => {
    clearInterval(watching);
    keepPage(null);
    over.hidden = true;
    over.replaceChildren();
    document.body.classList.remove('covered');
  };
  let sure = false;
  const leave = button('Leave the timer', () => {
    const running = page()?.body?.dataset.phase === 'developing';
    if (running && !sure) {
      sure = true;
      leave.textContent = 'Film is in the bath: leave all the same';
      return;
    }
    close();
  }, { id: 'leave-timer' });
  const page = () => {
    try {
      return frame.contentDocument;
    } catch {
      return null;
    }
  };
  const text = (id) => page()?.getElementById(id)?.value ?? '';

  async function take() {
    const names = await theFolder().names();
    const day = new Date();
    const date = [day.getFullYear(), day.getMonth() + 1, day.getDate()].map((part) => String(part).padStart(2, '0')).join('-');
    const logs = [...(page()?.querySelectorAll('#log-files a') ?? [])].map((link) => link.dataset.csv);
    const files = new Map();
    for (const csv of logs.length > 0 ? logs : [text('log')]) {
      let name = `temperatures ${date}.csv`;
      for (let n = 2; names.includes(name) || files.has(name); n += 1) name = `temperatures ${date}-${n}.csv`;
      files.set(name, bytesOf(csv));
    }
    try {
      await keep(files);
    } catch (error) {
      // The page with them stays open, and can be asked again.
      out.append(refusal({ err: error.message }));
      return undefined;
    }
    const [program, ...words] = wordsOf(text('entry'));
    const note = [h('p', {}, `Temperatures are kept as ${[...files.keys()].join(', ')}.`)];
    if (program !== 'wedgebook') return shown(...note, h('p', {}, text('entry')));
    return enter(words, note);
  }

  async function enter(words, note) {
    const args = [...words, '--json', '--with-html'];
    const answer = await act(args);
    const said = document_of(answer);
    if (said) return shown(...note, piece(said.html));
    const ways = await remedies(args);
    return shown(...note, refusal(answer), h('div', { class: 'row' }, ways.map((way) => button(way.label, () => enter([...words, ...way.words], note)))));
  }

  function shown(...children) {
    out.replaceChildren(...children, h('div', { class: 'row' }, button('Close the timer', () => {
      close();
      go('bath');
    }, { class: 'main', id: 'close-timer' })));
    say('The development is in the folder.');
  }

  const watching = setInterval(() => {
    const phase = page()?.body?.dataset.phase;
    if (phase !== 'end') {
      out.hidden = true;
      out.dataset.of = '';
      return;
    }
    if (out.dataset.of === 'end') return;
    out.dataset.of = 'end';
    out.hidden = false;
    const own = page()?.getElementById('rolls');
    const rolls = page()?.getElementById('rolls-part')?.hidden === false && h('label', { class: 'field' }, 'Rolls that were in the bath', h('input', { id: 'timer-rolls', inputmode: 'numeric', autocomplete: 'off', value: own.value, oninput: (event) => {
      own.value = event.target.value;
      own.dispatchEvent(new Event('input', { bubbles: true }));
    } }));
    out.replaceChildren(h('p', {}, 'The film is out. Its temperatures and its line for the journal can be kept in the folder.'), rolls || '', h('div', { class: 'row' }, button('Keep them', take, { class: 'main', id: 'take-over' })));
  }, 300);
  over.replaceChildren(frame, out, h('div', { class: 'under' }, leave));
  over.hidden = false;
  document.body.classList.add('covered');
  frame.focus();
}
