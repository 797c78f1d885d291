// The folder and the program, as screens use them.

import { Core } from './core.js';
import { Folder, NotKept } from './folder.js';
import { document_of } from './ui.js';

const core = Core.open();
let folder = null;
let listing = null;
const heard = new Set();

/** Nothing is to be had any more: shown by the page itself. */
export const broken = { show: () => {} };

export const ready = core;

/** A promise that resolves where the program has become ready, or did not. */
export async function openFolder() {
  folder = await Folder.open('folder');
  folder.onchange = (names) => changed(names, true);
  return folder;
}

export const theFolder = () => folder;

/** Calls `listener(names, other)` when files changed, in this window or in another. */
export function onChange(listener) {
  heard.add(listener);
  return () => heard.delete(listener);
}

function changed(names, other) {
  listing = null;
  for (const listener of [...heard]) listener(names, other);
}

async function guarded(work) {
  try {
    return await work();
  } catch (error) {
    if (error instanceof Core.Broken) broken.show(error);
    throw error;
  }
}

/** Asks, and keeps nothing of what the program writes: it is in the answer. Charts are as wide as the screen. */
export async function look(args, options = {}) {
  const program = await core;
  const files = options.files ?? (await folder.all());
  const narrow = args.some((word) => word.startsWith('--plot=')) && matchMedia('(max-width: 30rem)').matches;
  return guarded(() => program.ask(files, narrow ? added(args, ['--narrow']) : args, options));
}

/** Asks, and keeps what the program writes. What the device does not keep is refused, as the program refuses. */
export async function act(args, options = {}) {
  const program = await core;
  let answer;
  try {
    answer = await guarded(() => folder.ask(program, args, options));
  } catch (error) {
    if (!(error instanceof NotKept)) throw error;
    return { status: 2, out: '', err: error.message, files: new Map() };
  }
  if (answer.files.size > 0) changed([...answer.files.keys()], false);
  return answer;
}

/** Writes files, and removes those that are null. */
export async function keep(files) {
  await folder.change(files);
  changed([...files.keys()], false);
}

/** What lies in the folder: pairings, baths, papers, plans, by the program's own list; and all names. */
export function list() {
  listing ??= (async () => {
    const answer = await look(['list', '--json']);
    const found = document_of(answer) ?? { pairings: [], baths: [], papers: [], plans: [] };
    const names = await folder.names();
    const known = new Set([...found.pairings, ...found.baths, ...found.papers, ...found.plans].map((one) => one.file));
    // Readings are what else may be one: the program says where it is not.
    const readings = names.filter((name) => /\.(csv|xlsx|ods|txt|it8|cgats)$/i.test(name) && !name.startsWith('templates/') && !known.has(name));
    return { ...found, names, readings };
  })();
  return listing;
}

// What a command may be asked to do all the same, and how a button says it.
const ALL_THE_SAME = [
  ['--again', 'It happened twice: enter it once more'],
  ['--late', 'It belongs to an earlier day: put it in its place'],
  ['--sure', 'The amount is right: enter it'],
  ['--anyway', 'Go on all the same'],
  ['--replace', 'Keep nothing of the old file'],
  ['--reversed', 'Take the steps in the opposite order'],
  ['--fahrenheit', 'All temperatures of the file are °F'],
];

/** A command with more words; before those that are text alone. */
export function added(args, words) {
  const at = args.indexOf('--');
  return at < 0 ? [...args, ...words] : [...args.slice(0, at), ...words, ...args.slice(at)];
}

/**
 * Whether a command that was refused is done with one more word, or with two: each is tried on a copy of
 * the folder. No sentence is read for that.
 *
 * @returns {Promise<{words: string[], label: string}[]>}
 */
export async function remedies(args, options = {}) {
  const done = (answer) => answer.status !== 2;
  const files = await folder.all();
  // Where the program does not refuse, the device did: no word helps.
  if (done(await look(args, { ...options, files }))) return [];
  const tried = async (words) => (done(await look(added(args, words), { ...options, files })) ? [{ words: words, label: ALL_THE_SAME.filter(([w]) => words.includes(w)).map(([, label]) => label).join('; ') }] : []);
  const left = ALL_THE_SAME.map(([word]) => word).filter((word) => !args.includes(word));
  const one = (await Promise.all(left.map((word) => tried([word])))).flat();
  if (one.length > 0) return one;
  const pairs = left.flatMap((a, i) => left.slice(i + 1).map((b) => [a, b]));
  for (const pair of pairs) {
    const found = await tried(pair);
    if (found.length > 0) return found;
  }
  return [];
}

export { Core, NotKept };
