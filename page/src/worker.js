// The worker: it compiles the program once and answers questions one after the other.

import { answer } from './core.js';

let module;

self.onmessage = async ({ data }) => {
  if (data.module) {
    try {
      module = await WebAssembly.compile(data.module);
      self.postMessage({ ready: true });
    } catch {
      self.postMessage({ ready: false });
    }
    return;
  }
  try {
    self.postMessage({ number: data.number, answer: answer(module, data.question) });
  } catch (error) {
    const message = error.broken ? error.err || error.message : error.message;
    self.postMessage({ number: data.number, broken: error.broken === true, message });
  }
};
