// The module of the page against the program for the command line: the same files and arguments must
// give the same answers, to the last digit.
//
//   node tests/page/same.mjs guide|random BINARY MODULE [CASES]

import { execFileSync, spawnSync } from 'node:child_process';
import { cpSync, mkdirSync, mkdtempSync, readFileSync, readdirSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Core } from '../../page/src/core.js';
import { Chance, KINDS } from './cases.mjs';

const TODAY = '2026-11-30';

const [what, binary, module, cases = '6'] = process.argv.slice(2);
const root = dirname(dirname(dirname(fileURLToPath(import.meta.url))));
const core = await Core.open(readFileSync(module));
const tally = { lines: 0, numbers: 0 };
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

/** Where two texts are different, or null; the numbers in them are counted. */
function difference(ours, theirs) {
  tally.numbers += ours.match(NUMBER)?.length ?? 0;
  if (ours === theirs) return null;
  let at = 0;
  while (ours[at] === theirs[at]) at += 1;
  const around = (text) => JSON.stringify(text.slice(Math.max(0, at - 100), at + 100));
  return `${around(ours)}\n  against ${around(theirs)}`;
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
  tally.lines += 1;
  const fault = (text) => faults.push(`${where}\n  ${text}`);
  if (page.status !== status) fault(`exit status ${page.status} against ${status}\n${page.err}${stderr}`);
  for (const [name, ours, theirs] of [['stdout', page.out, stdout], ['stderr', page.err, stderr]]) {
    const found = difference(ours, theirs);
    if (found) fault(`${name}: ${found}`);
  }
  for (const name of new Set([...after.keys(), ...page.files.keys()])) {
    const ours = page.files.has(name) ? page.files.get(name) : before.get(name);
    const theirs = after.get(name);
    if (!ours || !theirs) {
      fault(`${name} is written by ${ours ? 'the page' : 'the program'} alone`);
      continue;
    }
    const found = difference(textOf(ours), textOf(theirs));
    if (found) fault(`${name}: ${found}`);
  }
}

const decoder = new TextDecoder('utf-8', { ignoreBOM: true });
const textOf = (bytes) => decoder.decode(bytes);

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
console.log(`${what}: ${tally.lines} command lines, ${tally.numbers} numbers`);
if (faults.length > 0) {
  console.log(`${faults.length} differ:\n${faults.slice(0, 20).join('\n')}`);
  process.exitCode = 1;
}
