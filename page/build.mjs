// Builds the page: one file with everything in it, target/page/wedgebook.html.
//
//   npm ci && node build.mjs
//
// --module FILE  take this module in the place of one that is built by cargo
// --profile NAME the profile of cargo [default: page]
// --plain        leave out wasm-opt (of binaryen), which makes the module smaller where it is installed

import { build } from 'esbuild';
import { execFileSync, spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { mkdirSync, readFileSync, readdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { gzipAsync } from '@gfx/zopfli';
import { bytesOfText, textOfBytes } from './src/base85.js';
import { licences } from './licences.mjs';
import { Core } from './src/core.js';

/** The greatest size of the page, in bytes. */
const LARGEST = 2_500_000;
const TARGET = 'wasm32-wasip1';

const here = dirname(fileURLToPath(import.meta.url));
const root = dirname(here);
const target = process.env.CARGO_TARGET_DIR ?? join(root, 'target');
const folder = join(target, 'page');
const { values: options } = parseArgs({
  options: { module: { type: 'string' }, profile: { type: 'string', default: 'page' }, plain: { type: 'boolean' } },
});

function built() {
  if (options.module) return options.module;
  const args = ['build', '--locked', '--target', TARGET, '--profile', options.profile, '--bin', 'wedgebook', '--no-default-features', '--features', 'page'];
  const { status } = spawnSync('cargo', args, { cwd: root, stdio: 'inherit' });
  if (status !== 0) throw new Error(`cargo could not build the module; where the target is missing: rustup target add ${TARGET}`);
  return join(target, TARGET, options.profile, 'wedgebook.wasm');
}

/** The module, made smaller by binaryen's wasm-opt where that is installed: it saves a thirtieth of the page.
 * At -O3 the packed page is no larger than at -Oz, and a sixth faster. */
function smaller(module) {
  const small = join(folder, 'wedgebook.wasm');
  const enabled = ['bulk-memory', 'mutable-globals', 'nontrapping-float-to-int', 'sign-ext', 'reference-types', 'multivalue'];
  const args = ['-O3', '--strip-debug', '--strip-producers', ...enabled.map((name) => `--enable-${name}`), module, '-o', small];
  if (!options.plain && spawnSync('wasm-opt', ['--version']).status === 0) {
    execFileSync('wasm-opt', args, { stdio: 'inherit' });
  } else {
    console.log('wasm-opt is left out: the page is a little larger');
    writeFileSync(small, readFileSync(module));
  }
  return small;
}

/** A script with all that it imports. */
async function bundled(entry) {
  const { outputFiles } = await build({
    absWorkingDir: here,
    entryPoints: [entry],
    bundle: true,
    minify: true,
    write: false,
    format: 'iife',
    target: ['es2022', 'chrome110', 'firefox115', 'safari16.4'],
    charset: 'utf8',
    legalComments: 'none',
  });
  return outputFiles[0].text.trim();
}

const hash = (text) => `'sha256-${createHash('sha256').update(text).digest('base64')}'`;

/** The hashes of the pages that the program writes: they are shown within this one, by its policy. */
async function hashesOfPages(module) {
  const core = await Core.open(module);
  const data = new Map();
  for (const name of ['family.csv', 'strip.csv']) data.set(name, readFileSync(join(root, 'data', name)));
  const ask = async (...args) => {
    const answer = await core.ask(data, args);
    if (answer.status !== 0) throw new Error(`${args.join(' ')}: ${answer.err}`);
    for (const [name, bytes] of answer.files) data.set(name, bytes);
  };
  await ask('calibrate', 'family.csv', '--log-exposure-clear', '0', '--out', 'pairing.toml');
  await ask('bench', 'pairing.toml', '--contrast', '0.56', '--temperature', '20', '--out', 'bench.html');
  await ask('report', 'pairing.toml', '--out', 'report.html');
  const hashes = { script: new Set(), style: new Set() };
  for (const name of ['bench.html', 'report.html']) {
    const page = new TextDecoder().decode(data.get(name));
    const policy = /http-equiv="Content-Security-Policy" content="([^"]*)"/.exec(page)[1];
    for (const kind of ['script', 'style']) {
      const sources = new RegExp(`${kind}-src ([^;]*)`).exec(policy)?.[1] ?? '';
      for (const source of sources.replaceAll('&#39;', "'").split(' ')) if (source.startsWith("'sha256-")) hashes[kind].add(source);
    }
  }
  if (hashes.script.size === 0 || hashes.style.size === 0) throw new Error('the pages of bench and report name no hashes');
  return hashes;
}

const block = (id, type, text, more = '') => {
  if (/<\/script|<!--/i.test(text)) throw new Error(`what is put into ${id} would end its element`);
  return `<script id="${id}" type="${type}"${more}>${text}</script>`;
};

/** Bytes as small as gzip gives them, in an element's text. */
async function packed(id, bytes) {
  const small = await gzipAsync(bytes, { numiterations: 2 });
  const text = textOfBytes(small);
  if (!Buffer.from(bytesOfText(text, small.length)).equals(Buffer.from(small))) throw new Error(`${id} does not come back`);
  return block(id, 'text/plain', text, ` data-bytes="${small.length}"`);
}

/** The texts of the demonstration, by the names that they have in its folder, as JSON. */
function demonstration() {
  const names = readdirSync(join(root, 'data')).filter((name) => /\.(csv|toml)$/.test(name)).sort();
  const texts = names.map((name) => [`data/${name}`, readFileSync(join(root, 'data', name), 'utf8')]);
  return Buffer.from(JSON.stringify(Object.fromEntries(texts)));
}

/** A page in which all is that it needs; its markup has `{policy}`, a style and a script to be put in. */
function assembled(markup, style, script, { worker, demonstration, module, hashes, texts }) {
  const policy = [
    "default-src 'none'",
    ["script-src 'wasm-unsafe-eval'", hash(script), ...hashes.script].join(' '),
    ['style-src', hash(style), ...hashes.style].join(' '),
    'worker-src blob:',
    'img-src data: blob:',
    "base-uri 'none'",
    "form-action 'none'",
  ].join('; ');
  if (/<\/script/i.test(script)) throw new Error('the script would end its element');
  let page = markup;
  /** Puts text, as it is, in the place of what must be there once. */
  const put = (what, text) => {
    const parts = page.split(what);
    if (parts.length !== 2) throw new Error(`index.html must have ${what} once, and has it ${parts.length - 1} times`);
    page = parts.join(text);
  };
  put('{policy}', policy);
  put('<link rel="stylesheet" href="style.css">', `<style>${style}</style>`);
  // What is seen comes first, the module last: the page is there before the module is read.
  put('<script type="module" src="src/main.js"></script>', '');
  put('</body>', [
    block('worker', 'text/plain', worker),
    `<script>${script}</script>`,
    demonstration,
    block('licences', 'text/plain', texts),
    module,
    '</body>',
  ].join('\n'));
  return page;
}

mkdirSync(folder, { recursive: true });
const module = readFileSync(smaller(built()));
const parts = {
  worker: await bundled('src/worker.js'),
  module: await packed('module', module),
  demonstration: await packed('demonstration', demonstration()),
  hashes: await hashesOfPages(module),
  texts: licences(root, TARGET),
};
const markup = readFileSync(join(here, 'index.html'), 'utf8');
const style = readFileSync(join(here, 'style.css'), 'utf8').trim();
const script = await bundled('src/main.js');
const page = assembled(markup, style, script, parts);
const out = join(folder, 'wedgebook.html');
writeFileSync(out, page);
// The same core and folder without a screen, for the tests.
const bare = '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8"><meta http-equiv="Content-Security-Policy" content="{policy}"><title>Parts</title><link rel="stylesheet" href="style.css"></head><body><script type="module" src="src/main.js"></script></body></html>\n';
writeFileSync(join(folder, 'parts.html'), assembled(bare, ':root{color:black}', await bundled('../tests/page/parts.js'), parts));
const size = Buffer.byteLength(page);
console.log(`${out}: ${size} bytes (module ${module.length}, packed ${parts.module.length}, script ${script.length}, worker ${parts.worker.length}, style ${style.length})`);
if (size > LARGEST) {
  console.error(`the page is larger than ${LARGEST} bytes`);
  process.exitCode = 1;
}
