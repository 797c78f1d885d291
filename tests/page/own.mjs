// What a page adds to the program: its folder in memory, its day, and the end in a state that must not be.
//
//   node tests/page/own.mjs all BINARY MODULE

import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Core } from '../../page/src/core.js';

const [what, binary, module] = process.argv.slice(2);
const root = dirname(dirname(dirname(fileURLToPath(import.meta.url))));
const data = (name) => new Uint8Array(readFileSync(join(root, 'data', name)));
const text = (bytes) => new TextDecoder().decode(bytes);

if (what === 'day') {
  // In a process of its own, whose zone is set.
  const core = await Core.open(readFileSync(module));
  const { files } = await core.ask(new Map(), ['bath', 'mix', 'bath.csv', '--litres', '1']);
  console.log(/\d{4}-\d\d-\d\d/.exec(text(files.get('bath.csv')))[0], new Date().toLocaleDateString('sv'));
  process.exit();
}

const core = await Core.open(readFileSync(module));

// The day is the device's own, in zones that are hours and minutes off, on either side of the date line.
for (const zone of ['UTC', 'Pacific/Kiritimati', 'Pacific/Pago_Pago', 'Asia/Kathmandu', 'America/St_Johns', 'Europe/Berlin']) {
  const { stdout } = spawnSync(process.execPath, [process.argv[1], 'day', binary, module], { encoding: 'utf8', env: { ...process.env, TZ: zone } });
  const [entered, here] = stdout.trim().split(' ');
  assert.equal(entered, here, zone);
}
const fixed = await core.ask(new Map(), ['bath', 'mix', 'bath.csv', '--litres', '1'], { today: '2024-02-29' });
assert.match(text(fixed.files.get('bath.csv')), /2024-02-29/);

// Only what was written comes back; what was asked about is not changed.
const before = data('strip.csv');
const files = new Map([['data/strip.csv', before], ['old.svg', data('paper.svg')], ['größe ß.csv', before]]);
const kept = new Map([...files].map(([name, bytes]) => [name, bytes.slice()]));
const drawn = await core.ask(files, ['curve', 'data/strip.csv', '--plot', 'old.svg']);
assert.equal(drawn.status, 0, drawn.err);
assert.deepEqual([...drawn.files.keys()], ['old.svg']);
const named = await core.ask(files, ['curve', 'größe ß.csv', '--json']);
assert.equal(JSON.parse(named.out).strips.length, 1);
assert.equal(named.files.size, 0);
const piped = await core.ask(new Map(), ['curve', '-', '--json'], { stdin: text(before) });
assert.equal(JSON.parse(piped.out).strips[0].gamma.value, JSON.parse(named.out).strips[0].gamma.value);
assert.deepEqual(files, kept);

// Refusals leave all as it was: one file by two names, a file that is read, a figure in pixels, a picture.
for (const [args, said] of [
  [['curve', 'data/strip.csv', '--csv', 'a.csv', '--measures', 'data/../a.csv'], 'same file'],
  [['curve', 'data/strip.csv', '--csv', './data/strip.csv'], 'which is read'],
  [['curve', 'data/strip.csv', '--plot', 'a.png'], 'this build draws SVG only'],
  [['read', 'a.png', '--tablet', 'b.csv'], 'this build reads no pictures'],
  [['curve', '../strip.csv'], '../strip.csv'],
  [['bath', 'mix', 'old.svg', '--litres', '1'], 'not a journal'],
]) {
  const { status, err, files: written } = await core.ask(files, args);
  assert.equal(status, 2, args.join(' '));
  assert.ok(err.includes(said), err);
  assert.equal(written.size, 0, args.join(' '));
}
assert.deepEqual(files, kept);

// A journal's life: entries, a strip, an undo, the same entry twice, a torn line.
let folder = new Map([['family.csv', data('family.csv')], ['control.csv', data('control.csv')], ['session.toml', data('session.toml')]]);
const step = async (status, ...args) => {
  const answer = await core.ask(folder, args, { today: '2026-11-30' });
  assert.equal(answer.status, status, `${args.join(' ')}: ${answer.out}${answer.err}`);
  if (status === 2) assert.equal(answer.files.size, 0, args.join(' '));
  for (const [name, bytes] of answer.files) {
    assert.ok(!name.includes('.wedgebook-') && !name.includes('.tmp'), name);
    if (bytes) folder.set(name, bytes);
    else folder.delete(name);
  }
  return answer;
};
await step(0, 'calibrate', 'family.csv', '--log-exposure-clear', '0', '--out', 'pairing.toml');
await step(0, 'bath', 'mix', 'bath.csv', '--litres', '1.5', '--date', '2026-11-01');
await step(0, 'bath', 'film', 'bath.csv', '--rolls', '2', '--date', '2026-11-10');
const two = folder.get('bath.csv');
await step(2, 'bath', 'film', 'bath.csv', '--rolls', '2', '--date', '2026-11-10');
await step(1, 'bath', 'strip', 'bath.csv', 'pairing.toml', 'control.csv', '--log-exposure-clear', '0', '--date', '2026-11-17');
assert.ok(folder.get('bath.csv').length > two.length);
await step(0, 'bath', 'undo', 'bath.csv');
const undone = text(folder.get('bath.csv'));
// The entry stays in sight, struck out.
assert.ok(undone.startsWith(text(two)) && undone.includes('# struck out'), undone);
folder.set('bath.csv', new TextEncoder().encode(`${undone}2026-11-1`));
await step(0, 'bath', 'film', 'bath.csv', '--rolls', '1', '--date', '2026-11-18');
assert.equal(text(folder.get('bath.csv.torn')), '2026-11-1\n');
assert.ok(text(folder.get('bath.csv')).startsWith(undone));
await step(2, 'bath', 'film', 'none/bath.csv', '--rolls', '1');
await step(0, 'start', 'desk');
assert.ok([...folder.keys()].filter((name) => name.startsWith('desk/')).length > 3);

// A program that ends in a state that must not be: a module whose start is `unreachable`.
const trap = Uint8Array.from([
  0, 0x61, 0x73, 0x6d, 1, 0, 0, 0, // version 1
  1, 4, 1, 0x60, 0, 0, // one type: nothing to nothing
  3, 2, 1, 0, // one function of it
  5, 3, 1, 0, 1, // a memory of one page
  7, 19, 2, 6, 0x6d, 0x65, 0x6d, 0x6f, 0x72, 0x79, 2, 0, 6, 0x5f, 0x73, 0x74, 0x61, 0x72, 0x74, 0, 0, // memory, _start
  10, 5, 1, 3, 0, 0, 0x0b, // unreachable
]);
const broken = await Core.open(trap);
await assert.rejects(broken.ask(new Map(), []), (error) => error instanceof Core.Broken && error.message.length > 0);
await assert.rejects(core.ask(new Map([['../x', before]]), ['list']), TypeError);
assert.equal((await core.ask(files, ['curve', 'data/strip.csv'])).status, 0);
console.log('own: day, folder, journal, refusals and the broken state hold');
