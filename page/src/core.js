// The program: one question in, one answer out.
//
// It runs in a worker where there is one, so that the page stays responsive; else in the page itself.

import { bytesOfText } from './base85.js';
import { run } from './wasi.js';

/** The program stopped in a state that must not be. Its message is what it wrote before. */
class Broken extends Error {
  constructor(text) {
    super(text);
    this.name = 'Broken';
  }
}

/** The clock, and the zone whose present offset makes the device's day the program's `today`. */
function hour(now, today) {
  const east = -now.getTimezoneOffset();
  const minutes = Math.abs(east) % 60;
  const hours = (Math.abs(east) - minutes) / 60;
  // The sign of a POSIX zone is west of Greenwich.
  const zone = `<here>${east < 0 ? '' : '-'}${hours}:${String(minutes).padStart(2, '0')}`;
  if (today === undefined) return { zone, shift: 0 };
  const [year, month, day] = today.split('-').map(Number);
  const asked = Date.UTC(year, month - 1, day);
  const here = Date.UTC(now.getFullYear(), now.getMonth(), now.getDate());
  if (!Number.isFinite(asked)) throw new TypeError(`not a date: ${today}`);
  return { zone, shift: asked - here };
}

/** Answers one question by a compiled module; plain values in and out, as a worker's messages need. */
export function answer(module, { files, args, stdin, today, width }) {
  const { zone, shift } = hour(new Date(), today);
  const env = { TZ: zone, COLUMNS: String(width ?? 100) };
  const clock = () => BigInt(Date.now() + shift) * 1000000n;
  return run(module, files, args, { stdin, env, clock });
}

/** A worker by the source that the page has in it, or null where there is none. */
function workerOfPage() {
  const source = globalThis.document?.getElementById('worker')?.textContent;
  if (!source || typeof Worker !== 'function') return null;
  const address = URL.createObjectURL(new Blob([source], { type: 'text/javascript' }));
  try {
    return new Worker(address);
  } catch {
    return null;
  } finally {
    // The worker has been asked for its source by then in some browsers, in others it has not.
    setTimeout(() => URL.revokeObjectURL(address), 60000);
  }
}

/** The bytes of the program that the page has in it. */
export const moduleOfPage = () => unpackedOfPage('module');

/** What the page has in an element: gzip'd, and written as text. */
export async function unpackedOfPage(id) {
  // The program comes last in the page, which is seen before it is read to its end.
  if (document.readyState === 'loading') {
    await new Promise((resolve) => document.addEventListener('DOMContentLoaded', resolve, { once: true }));
  }
  const element = document.getElementById(id);
  const packed = bytesOfText(element.textContent, Number(element.dataset.bytes));
  const stream = new Blob([packed]).stream().pipeThrough(new DecompressionStream('gzip'));
  return new Uint8Array(await new Response(stream).arrayBuffer());
}

export class Core {
  static Broken = Broken;

  #module = null;
  #worker = null;
  #waiting = new Map();
  #last = 0;
  #stopped = null;

  /**
   * Compiles the program, once. Without bytes it is the one that the page has in it.
   *
   * @param {BufferSource|Promise<BufferSource>} [bytes]
   * @returns {Promise<Core>}
   */
  static async open(bytes = moduleOfPage()) {
    const core = new Core();
    const source = await bytes;
    const worker = workerOfPage();
    if (worker && (await core.#attach(worker, source))) return core;
    core.#module = await WebAssembly.compile(source);
    return core;
  }

  /** Whether questions are answered beside the page, which stays responsive meanwhile. */
  get beside() {
    return this.#worker !== null;
  }

  /**
   * Asks the program.
   *
   * @param {Map<string, Uint8Array>} files the folder's files by relative names; they are not changed
   * @param {string[]} args the command line without the program's name
   * @param {{stdin?: string, today?: string, width?: number}} options
   *   `today` as 2026-11-30, else the device's own day
   * @returns {Promise<{status: number, out: string, err: string, files: Map<string, Uint8Array|null>}>}
   *   `files` holds only what was written, and null for what was removed
   * @throws {Broken}
   */
  async ask(files, args, { stdin = '', today, width } = {}) {
    const question = { files, args, stdin, today, width };
    if (!this.#worker) {
      try {
        return answer(this.#module, question);
      } catch (error) {
        throw error.broken ? new Broken(error.err || error.message) : error;
      }
    }
    if (this.#stopped) throw new Broken(this.#stopped);
    const number = ++this.#last;
    return new Promise((resolve, reject) => {
      this.#waiting.set(number, { resolve, reject });
      this.#worker.postMessage({ number, question });
    });
  }

  /** Gives the worker its program; false where it cannot run. */
  #attach(worker, source) {
    return new Promise((resolve) => {
      worker.onerror = (event) => {
        event.preventDefault();
        // Before it was ready: the page does its work. Later: nothing is answered until the page is loaded anew.
        worker.terminate();
        resolve(false);
        if (this.#worker) this.#stopped = event.message || 'the program stopped';
        for (const { reject } of this.#waiting.values()) reject(new Broken(this.#stopped));
        this.#waiting.clear();
      };
      worker.onmessage = ({ data }) => {
        if ('ready' in data) {
          if (data.ready) this.#worker = worker;
          else worker.terminate();
          resolve(data.ready);
          return;
        }
        const { resolve: give, reject } = this.#waiting.get(data.number);
        this.#waiting.delete(data.number);
        if (data.answer) give(data.answer);
        else reject(data.broken ? new Broken(data.message) : new Error(data.message));
      };
      worker.postMessage({ module: source });
    });
  }
}
