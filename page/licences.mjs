// The licences of what is built into the page, with their texts, each text once.

import { execFileSync } from 'node:child_process';
import { readFileSync, readdirSync } from 'node:fs';
import { dirname, join } from 'node:path';

/** What is in the module without being a package of it. */
const OTHERS = [
  ['The standard library of Rust', 'The Rust Project contributors', 'MIT OR Apache-2.0'],
  ['wasi-libc', 'Copyright © 2005-2020 Rich Felker, et al. (musl); the WASI contributors', 'MIT OR Apache-2.0 WITH LLVM-exception'],
];

/** The packages that the module holds, without those that only help to build it. */
function packages(root, target) {
  const chosen = ['--locked', '--no-default-features', '--features', 'page'];
  const cargo = (...args) => execFileSync('cargo', args, { cwd: root, maxBuffer: 2 ** 28, encoding: 'utf8', stdio: ['ignore', 'pipe', 'ignore'] });
  const held = cargo('tree', ...chosen, '--target', target, '--edges', 'normal,no-proc-macro', '--prefix', 'none', '--format', '{p}');
  const names = new Set(held.split('\n').map((line) => line.split(' ').slice(0, 2).join(' ').replace(' v', ' ')));
  const { packages: known, resolve } = JSON.parse(cargo('metadata', '--format-version', '1', ...chosen, '--filter-platform', target));
  const reached = known.filter(({ id, name, version }) => id !== resolve.root && names.has(`${name} ${version}`));
  return reached.map((entry) => ({
    name: `${entry.name} ${entry.version}`,
    folder: dirname(entry.manifest_path),
    licence: entry.license ?? 'see its text',
    authors: entry.authors,
  }));
}

/** The licence's text in a package's folder: the short one where there is a choice. */
function textOf({ folder, licence, authors }) {
  const names = readdirSync(folder).filter((name) => /^(un)?licen[sc]e|^copying/i.test(name) && /^[^.]*(\.(md|txt|mit))?$/i.test(name));
  const rank = (name) => (/mit/i.test(name) ? 0 : /bsd|zlib|unlicen/i.test(name) ? 1 : /apache/i.test(name) ? 3 : 2);
  const [first] = names.sort((a, b) => rank(a) - rank(b) || (a < b ? -1 : 1));
  if (!first) return authors.length > 0 ? `By ${authors.join(', ')}, under ${licence}.` : `Under ${licence}.`;
  return readFileSync(join(folder, first), 'utf8');
}

/** All of them as one text. */
export function licences(root, target) {
  const own = readFileSync(join(root, 'LICENSE'), 'utf8');
  const fflate = join(root, 'page/node_modules/fflate');
  const { version } = JSON.parse(readFileSync(join(fflate, 'package.json'), 'utf8'));
  const scripts = [{ name: `fflate ${version}`, folder: fflate, licence: 'MIT', authors: [] }];
  const groups = new Map();
  const all = [...packages(root, target), ...scripts].sort((a, b) => (a.name < b.name ? -1 : 1));
  for (const entry of all) {
    const lines = textOf(entry).replaceAll('\r', '').split('\n').map((line) => line.trim());
    const isHolder = (line) => /^(copyright\b|\(c\) \d|©)/i.test(line) && !/^copyright (notice|license|owner|holder)|^copyright and /i.test(line);
    const body = lines.filter((line) => line !== '' && !isHolder(line)).join(' ');
    const group = groups.get(body) ?? { lines: [], text: lines.filter((line) => !isHolder(line)).join('\n').trim() };
    const holders = lines.filter(isHolder).join('; ');
    group.lines.push(`${entry.name} (${entry.licence})${holders ? `: ${holders}` : ''}`);
    groups.set(body, group);
  }
  const parts = [
    `Wedgebook is under this licence:\n\n${own.trim()}`,
    `In it are these works of others, each under its own licence.\n\n${OTHERS.map(([name, holder, licence]) => `${name} (${licence}): ${holder}`).join('\n')}`,
    `The font of the figures\n\n${readFileSync(join(root, 'assets/figure-sans.LICENSE.txt'), 'utf8').trim()}`,
    ...[...groups.values()].map(({ lines, text }) => `${lines.join('\n')}\n\n${text}`),
  ];
  return `${parts.join('\n\n----\n\n')}\n`;
}
