// The files: in and out, one by one or as a zip.

import { keep, theFolder } from './desk.js';
import { unpackedOfPage } from './core.js';
import { NotKept } from './folder.js';
import { isZip, packed, unpacked } from './zip.js';
import { bytesOf, button, download, folded, h, picker, textOf } from './ui.js';

/** The demonstration that the page has in it. */
async function demonstration() {
  const texts = JSON.parse(textOf(await unpackedOfPage('demonstration')));
  return Object.entries(texts).map(([name, text]) => [name, bytesOf(text)]);
}

/** All that is kept, as one file. */
export async function saveAll() {
  download('wedgebook.zip', packed(await theFolder().all()));
}

/** A name that no file has: `strip 2.csv`. */
function free(name, taken) {
  const [, stem, end] = /^(.*?)(\.[^./]*)?$/.exec(name);
  for (let n = 2; ; n += 1) {
    const other = `${stem} ${n}${end ?? ''}`;
    if (!taken.has(other)) return other;
  }
}

/**
 * Takes files in. One that would take the place of another of the same name, with other bytes, gets a
 * name of its own.
 */
export async function takeIn(files) {
  const there = await theFolder().all();
  const into = new Map();
  const said = [];
  for (const [name, bytes] of files) {
    let found;
    try {
      found = isZip(name, bytes) ? unpacked(bytes) : { files: new Map([[name, bytes]]), refused: [] };
    } catch (error) {
      if (!(error instanceof NotKept)) throw error;
      said.push({ name, words: error.message, bad: true });
      continue;
    }
    for (const { name: other, reason } of found.refused) said.push({ name: other, words: reason, bad: true });
    for (const [one, content] of found.files) {
      const same = there.get(one);
      if (same && same.length === content.length && same.every((byte, i) => byte === content[i])) {
        said.push({ name: one, words: 'It is there already.' });
      } else if (same || into.has(one)) {
        const other = free(one, new Map([...there, ...into]));
        into.set(other, content);
        said.push({ name: one, words: `Another file has this name; this one is kept as ${other}.` });
      } else {
        into.set(one, content);
        said.push({ name: one, words: 'Taken in.' });
      }
    }
  }
  for (const name of [...into.keys()]) {
    try {
      // One that the folder refuses does not keep the others out.
      await keep(new Map([[name, into.get(name)]]));
    } catch (error) {
      for (const line of said) if (line.name === name) Object.assign(line, { words: error.message, bad: true });
    }
  }
  return said;
}

export function screen({ say }) {
  const all = h('div', { id: 'all-files' });
  const standing = h('p', { id: 'standing-of-files' });
  const said = h('div', { id: 'taken', role: 'status' });
  const shown = h('div', { id: 'file-shown' });

  async function draw() {
    const files = await theFolder().all();
    const groups = Map.groupBy ? Map.groupBy(files, ([name]) => (name.includes('/') ? name.slice(0, name.indexOf('/')) : '')) : new Map([['', [...files]]]);
    const row = ([name, bytes]) => {
      let sure = false;
      const remove = button('Remove', async () => {
        if (!sure) {
          sure = true;
          remove.textContent = 'Remove it for good';
          return;
        }
        await keep(new Map([[name, null]]));
        say(`${name} was removed.`);
      }, { 'aria-label': `Remove ${name}` });
      const isText = /\.(csv|toml|txt|md|it8|cgats)$/i.test(name);
      const see = isText && button('Show', () => {
        shown.replaceChildren(h('h2', {}, name), h('pre', { tabindex: '0' }, textOf(bytes)));
        shown.scrollIntoView({ block: 'start' });
      }, { 'aria-label': `Show ${name}` });
      return h('li', {}, h('span', { class: 'name' }, name, h('small', {}, ` ${bytes.length} bytes`)), h('span', { class: 'row' }, see, button('Save', () => download(name, bytes), { 'aria-label': `Save ${name}` }), remove));
    };
    const list = (some) => h('ul', { class: 'list' }, some.map(row));
    all.replaceChildren(...[...groups].map(([folder, some]) => (folder === '' ? list(some) : folded(`${folder} (${some.length})`, list(some)))));
  }

  async function onFiles(files) {
    const lines = await takeIn(files);
    said.replaceChildren(...lines.map(({ name, words, bad }) => h('p', { class: bad ? 'refusal' : null }, h('b', {}, name), ` ${words}`)));
    await draw();
  }

  const view = [h('h1', {}, 'Files'), h('div', { class: 'two' },
    h('section', { class: 'ask' }, standing,
      h('div', { class: 'row' }, picker('Take files in', onFiles, { id: 'take-files' }), button('Save all as a zip', saveAll, { class: 'main', id: 'save-all' })),
      h('div', { class: 'row' }, button('Take the demonstration', async () => onFiles(await demonstration()), { id: 'take-demonstration' })),
      said),
    h('section', { class: 'said' }, all, shown))];
  const begun = (async () => {
    const { state } = await theFolder().standing();
    standing.textContent = {
      kept: 'These files are kept on this device until you remove them. Nothing leaves it.',
      may_be_cleared: 'These files are kept on this device, but its browser may clear them when room is short. Save all as a zip now and then. Nothing leaves the device.',
      file: 'This page was opened as a file: some browsers clear what such a page keeps, or do not keep it. Save all as a zip before you close it. Nothing leaves the device.',
    }[state];
    await draw();
  })();
  return { view, begun, redraw: draw };
}
