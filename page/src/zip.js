// Files out of a zip, and into one.

import { unzipSync, zipSync } from 'fflate';
import { NotKept, checkedName } from './folder.js';

/** The greatest size of a file and of all, in bytes, before they are unpacked. */
const LARGEST_FILE = 64 * 2 ** 20;
const LARGEST = 256 * 2 ** 20;
const MOST_FILES = 2000;

/** Whether the bytes begin as a zip does. A workbook is a zip too: its name says which it is. */
export function isZip(name, bytes) {
  const begins = bytes[0] === 0x50 && bytes[1] === 0x4b && (bytes[2] === 3 || bytes[2] === 5);
  return begins && !/\.(xlsx|ods)$/i.test(name);
}

/**
 * The files of a zip by their names. A folder that all of them lie in is left out of the names.
 *
 * @param {Uint8Array} bytes
 * @returns {{files: Map<string, Uint8Array>, refused: {name: string, reason: string}[]}}
 *   `refused`: those whose names or sizes a folder does not take
 * @throws {NotKept} it is no zip, or a damaged one
 */
export function unpacked(bytes) {
  const refused = [];
  let all = 0, count = 0;
  let entries;
  try {
    entries = unzipSync(bytes, {
      filter: ({ name, originalSize }) => {
        if (name.endsWith('/') || /(^|\/)(__MACOSX\/|\.DS_Store$)/.test(name)) return false;
        if (name.split('/').includes('__proto__')) {
          refused.push({ name, reason: 'This is no name for a file in this folder.' });
          return false;
        }
        if (originalSize > LARGEST_FILE) {
          refused.push({ name, reason: 'It is larger than 64 MB.' });
          return false;
        }
        all += originalSize;
        count += 1;
        if (all > LARGEST || count > MOST_FILES) throw new NotKept('This zip holds more than a folder of films and baths does (256 MB, or 2000 files). Unpack it, and take what you need.');
        return true;
      },
    });
  } catch (error) {
    if (error instanceof NotKept) throw error;
    throw new NotKept('This zip is damaged, or it is no zip. Nothing was taken from it.', error);
  }
  const names = Object.keys(entries);
  const first = names[0]?.split('/')[0];
  const within = names.length > 0 && names.every((name) => name.startsWith(`${first}/`));
  const files = new Map();
  for (const name of names) {
    try {
      const kept = checkedName(within ? name.slice(first.length + 1) : name);
      if (files.has(kept)) throw new NotKept('Two files of this zip have this name.');
      files.set(kept, entries[name]);
    } catch (error) {
      refused.push({ name, reason: error.message });
    }
  }
  return { files, refused };
}

/** A zip of files, by their names. Equal files give equal bytes. */
export function packed(files) {
  const names = [...files.keys()].sort();
  return zipSync(Object.fromEntries(names.map((name) => [name, [files.get(name), { mtime: new Date(1980, 0, 1) }]])));
}
