// The module of the page against the program for the command line: the same files and arguments must
// give the same answers.
//
//   node tests/page/same.mjs guide|random BINARY MODULE [CASES]
//
// Text, exit status and files written must be equal. The exp, ln and pow of two platforms differ in the
// last bit here and there, as those of two processors do, so that numbers may differ: by 1e-12 of their
// size, and a few of them further, where a search stops before it stands still or large terms cancel
// (see `FEW` and `FARTHEST`). How many differ, and how far, is printed.

import { execFileSync, spawnSync } from 'node:child_process';
import { cpSync, mkdirSync, mkdtempSync, readFileSync, readdirSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Core } from '../../page/src/core.js';
import { Chance, KINDS } from './cases.mjs';

/** How far apart two numbers count as equal, as a share of the larger one. */
const CLOSE = 1e-12;
/** The share of numbers that may lie further apart than that. */
const FEW = 0.01;
/**
 * How far these may lie apart, as a share of the larger one or of 0.01, whichever is more: a difference from
 * an aim may be next to nothing. The parameters of a surface through the strips of a family are the worst:
 * they are sure together, not each by itself. The same program on two processors, of which one has fused
 * multiplication, is as far apart.
 */
const FARTHEST = { calibrate: 1e-4, adjust: 1e-4, drift: 1e-4, verify: 1e-4, bath: 1e-4 };
const ELSEWHERE = 1e-8;
const LEAST = 0.01;
const TODAY = '2026-11-30';

const [what, binary, module, cases = '6'] = process.argv.slice(2);
const root = dirname(dirname(dirname(fileURLToPath(import.meta.url))));
const core = await Core.open(readFileSync(module));
const tally = { lines: 0, numbers: 0, apart: 0, beyond: 0, farthest: 0, where: '' };
const faults = [];

/** All files below a folder, by their relative names. */
function filesIn(folder, before = '') {
  const files = new Map();
  for (const entry of readdirSync(join(folder, before), { withFileTypes: true })) {
    const name = before + entry.name;
    if (entry.isDirectory()) for (const [inner, bytes] of filesIn(folder, `${name}/`)) files.set(inner, bytes);
    else files.set(name, new Uint8Array(readFileSync(join(folder, name))));
  }
  return files;
}

const NUMBER = /-?\d+(?:\.\d+)?(?:e[+-]?\d+)?/gi;

/** What is different in two texts, or null; numbers that lie close by are counted. */
function difference(ours, theirs, { where, may }) {
  if (ours === theirs) {
    tally.numbers += ours.match(NUMBER)?.length ?? 0;
    return null;
  }
  const around = (text, at) => JSON.stringify(text.slice(Math.max(0, at - 100), at + 100));
  const pairs = [ours, theirs].map((text) => [...text.matchAll(NUMBER)]);
  const [skeleton, other] = [ours, theirs].map((text) => text.replaceAll(NUMBER, '#'));
  if (skeleton !== other) {
    let at = 0;
    while (ours[at] === theirs[at]) at += 1;
    return `${around(ours, at)}\n  against ${around(theirs, at)}`;
  }
  for (const [index, [text]] of pairs[0].entries()) {
    const [known] = pairs[1][index];
    tally.numbers += 1;
    if (text === known) continue;
    const [size, by] = [Math.max(Math.abs(text), Math.abs(known)), Math.abs(text - known)];
    if (by > CLOSE * size) tally.beyond += 1;
    const apart = by / Math.max(size, LEAST);
    tally.apart += 1;
    if (apart > tally.farthest) Object.assign(tally, { farthest: apart, where });
    if (!(apart <= may)) return `${text} against ${known} (${apart.toExponential(1)} apart) in ${around(theirs, pairs[1][index].index)}`;
  }
  return null;
}

/** Runs a command line both ways on the same files; the folder then holds what the binary wrote. */
async function compared(folder, args, label) {
  const before = filesIn(folder);
  const page = await core.ask(before, args, { today: TODAY });
  const { status, stdout, stderr } = spawnSync(binary, args, {
    cwd: folder, encoding: 'utf8', input: '', maxBuffer: 2 ** 28, env: { ...process.env, WEDGEBOOK_TODAY: TODAY, COLUMNS: '100' },
  });
  const after = filesIn(folder);
  const where = `${label}: wedgebook ${args.join(' ')}`;
  const may = FARTHEST[args[0]] ?? ELSEWHERE;
  tally.lines += 1;
  const fault = (text) => faults.push(`${where}\n  ${text}`);
  if (page.status !== status) fault(`exit status ${page.status} against ${status}\n${page.err}${stderr}`);
  for (const [name, ours, theirs] of [['stdout', page.out, stdout], ['stderr', page.err, stderr]]) {
    const found = difference(ours, theirs, { where, may });
    if (found) fault(`${name}: ${found}`);
  }
  for (const name of new Set([...after.keys(), ...page.files.keys()])) {
    const ours = page.files.has(name) ? page.files.get(name) : before.get(name);
    const theirs = after.get(name);
    if (!ours || !theirs) {
      fault(`${name} is written by ${ours ? 'the page' : 'the program'} alone`);
      continue;
    }
    const found = difference(textOf(ours), textOf(theirs), { where: `${where}, ${name}`, may });
    if (found) fault(`${name}: ${found}`);
  }
}

const decoder = new TextDecoder('utf-8', { ignoreBOM: true });
/** A file's text; a page's key is a hash of the answer in it, and is left out. */
const textOf = (bytes) => decoder.decode(bytes).replace(/ data-key="[^"]*"/, '');

function desk() {
  return mkdtempSync(join(tmpdir(), 'wedgebook-page-'));
}

async function guide() {
  for (const pages of [['README.md'], ['curve', 'calibrate', 'bath', 'evenness', 'session', 'print', 'readings', 'trust'].map((name) => `docs/guide/${name}.md`)]) {
    const folder = desk();
    mkdirSync(join(folder, 'data'));
    cpSync(join(root, 'data'), join(folder, 'data'), { recursive: true });
    for (const page of pages) {
      for (const [, line] of readFileSync(join(root, page), 'utf8').matchAll(/^\$ wedgebook (.*)$/gm)) {
        const args = line.split(' ');
        // What the page's build leaves out: pictures.
        if (args[0] === 'read' || args.some((arg) => arg.endsWith('.png'))) continue;
        await compared(folder, args, page);
        if (helpOf(args).includes('--json') && !args.includes('--json')) await compared(folder, [...args, '--json'], page);
      }
    }
    rmSync(folder, { recursive: true });
  }
}

const helps = new Map();
function helpOf(args) {
  const command = args[0] === 'bath' ? args.slice(0, 2) : args.slice(0, 1);
  const key = command.join(' ');
  if (!helps.has(key)) helps.set(key, execFileSync(binary, [...command, '--help'], { encoding: 'utf8' }));
  return helps.get(key);
}

async function random() {
  for (const [kind, make] of Object.entries(KINDS)) {
    for (let number = 0; number < Number(cases); number += 1) {
      const { files, lines } = make(new Chance(1000 * number + kind.length * 7 + kind.charCodeAt(0)));
      const folder = desk();
      for (const [name, text] of files) writeFileSync(join(folder, name), text);
      for (const args of lines) await compared(folder, args, `${kind} ${number}`);
      rmSync(folder, { recursive: true });
    }
  }
}

await { guide, random }[what]();
const far = tally.apart === 0 ? '' : `; the farthest ${tally.farthest.toExponential(1)} of its size (${tally.where})`;
if (tally.beyond > FEW * tally.numbers) faults.push(`${tally.beyond} numbers are not equal to ${CLOSE} of their size`);
console.log(`${what}: ${tally.lines} command lines, ${tally.numbers} numbers, ${tally.apart} of them not equal to the last digit, ${tally.beyond} not to ${CLOSE} of their size${far}`);
if (faults.length > 0) {
  console.log(`${faults.length} differ:\n${faults.slice(0, 20).join('\n')}`);
  process.exitCode = 1;
}
