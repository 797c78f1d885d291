// What all screens are made of: elements, fields, answers, figures, questions to the person.

/** An element with attributes, listeners (`onclick`) and children. Text is text, never markup. */
export function h(tag, attributes = {}, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === null || value === undefined || value === false) continue;
    if (name.startsWith('on')) element.addEventListener(name.slice(2), value);
    else if (name === 'value') element.value = value;
    else if (name === 'checked') element.checked = value;
    else if (name === 'srcdoc') element.srcdoc = value;
    else element.setAttribute(name, value === true ? '' : value);
  }
  element.append(...children.flat(Infinity).filter((child) => child !== null && child !== undefined && child !== false));
  return element;
}

export const button = (label, onclick, attributes = {}) => h('button', { type: 'button', onclick, ...attributes }, label);
export const by = (id) => document.getElementById(id);

/** Runs `work` when calls have ceased for a moment. */
export function settled(work, milliseconds = 150) {
  let timer = null;
  return (...values) => {
    clearTimeout(timer);
    timer = setTimeout(() => work(...values), milliseconds);
  };
}

/** Runs `work` at once; where it is called meanwhile, once more after that. */
export function promptly(work) {
  let [running, again] = [false, false];
  return async () => {
    again = true;
    if (running) return;
    running = true;
    try {
      while (again) {
        again = false;
        await work();
      }
    } finally {
      running = false;
    }
  };
}

/**
 * One field of a form, bound to what was typed.
 *
 * `mode`: decimal, numeric, text, date, select, check, area. `options` of a select: [value, label].
 */
export function field(draft, { name, label, mode = 'text', hint, options, placeholder, wide = false, list }, onchange) {
  const id = `f-${name}`;
  const keep = (value) => {
    draft.value[name] = value;
    draft.save();
    onchange?.(name);
  };
  const described = hint ? `${id}-hint` : null;
  const small = hint && h('small', { id: described }, hint);
  if (mode === 'check') {
    const box = h('input', { type: 'checkbox', id, checked: draft.value[name] === true, 'aria-describedby': described, onchange: () => keep(box.checked) });
    return h('label', { class: 'field check', for: id }, box, h('span', {}, label), small);
  }
  let input;
  if (mode === 'select') {
    input = h('select', { id, 'aria-describedby': described, onchange: () => keep(input.value) },
      options.map(([value, words]) => h('option', { value }, words)));
    const known = options.some(([value]) => value === draft.value[name]);
    if (!known && options.length > 0) draft.value[name] = options[0][0];
    input.value = draft.value[name];
  } else if (mode === 'area') {
    input = h('textarea', { id, rows: 3, 'aria-describedby': described, placeholder, autocomplete: 'off', oninput: () => keep(input.value) });
    input.value = draft.value[name];
  } else {
    input = h('input', {
      id, type: mode === 'date' ? 'date' : 'text', inputmode: mode === 'date' ? null : mode, autocomplete: 'off',
      spellcheck: 'false', 'aria-describedby': described, placeholder, value: draft.value[name], list,
      oninput: () => keep(input.value),
    });
  }
  return h('div', { class: wide ? 'field wide' : 'field' }, h('label', { for: id }, label), input, small);
}

/** The fields of a form, beside each other where there is room. */
export const fields = (draft, all, onchange) => h('div', { class: 'fields' }, all.map((one) => field(draft, one, onchange)));

/** Choice by large buttons, one of which is pressed. */
export function choice(label, options, value, onchoose) {
  const group = h('div', { class: 'choice', role: 'group', 'aria-label': label });
  for (const [key, words] of options) {
    group.append(button(words, () => {
      for (const other of group.children) other.setAttribute('aria-pressed', String(other.dataset.key === key));
      onchoose(key);
    }, { 'data-key': key, 'aria-pressed': String(key === value) }));
  }
  return group;
}

export const folded = (title, ...children) => h('details', {}, h('summary', {}, title), ...children);

/** The options of a command line: those that are not empty, each as one word. */
export function options(pairs) {
  return pairs.flatMap(([name, value]) => {
    if (value === true) return [name];
    const text = String(value ?? '').replaceAll('\0', ' ').trim();
    return value === false || text === '' ? [] : [`${name}=${text}`];
  });
}

/** The words of a command line, as a shell takes them apart. */
export function wordsOf(line) {
  return [...line.matchAll(/(?:"((?:[^"\\]|\\.)*)"|'([^']*)'|([^\s"']+))+/g)].map(([all]) =>
    all.replace(/"((?:[^"\\]|\\.)*)"|'([^']*)'/g, (_, double, single) => (double !== undefined ? double.replace(/\\(.)/g, '$1') : single)));
}

/** A file's name as a word that is not taken for an option. */
export const path = (name) => (name.startsWith('-') ? `./${name}` : name);

/** A name that a file may have. */
export function fileName(text) {
  const clean = text.normalize('NFC').replaceAll(/[\\/:\u0000-\u001f\u007f\u2028\u2029]/gu, '-').trim().slice(0, 80);
  return clean === '' || /^\.+$/.test(clean) ? 'unnamed' : clean;
}

/** The document of an answer, or null where it has none. */
export function document_of(answer) {
  try {
    return JSON.parse(answer.out);
  } catch {
    return null;
  }
}

/** The program's answer as it words it. */
export function piece(html) {
  const part = document.createElement('template');
  part.innerHTML = html;
  // The standing of a bath comes before all else.
  const first = part.content.querySelector('.first');
  if (first) part.content.prepend(first);
  return h('div', { class: 'answer' }, part.content);
}

/**
 * The program's answer with what matters first, large: the fields of these keys, in its own words. The
 * standing of a bath stays before all; the rest is folded.
 */
export function headline(html, keys, title) {
  const all = piece(html);
  const first = all.querySelector('.first');
  const large = keys.flatMap((key) => {
    const value = all.querySelector(`dd[data-key="${key}"]`);
    return value ? [h('div', { class: `large ${key}`, id: `large-${key}` }, h('p', { class: 'label' }, value.previousElementSibling.textContent), h('p', { class: 'figures' }, ...value.cloneNode(true).childNodes))] : [];
  });
  const name = all.querySelector('h2');
  const rest = folded(title, [...all.children].filter((child) => child !== first && child !== name));
  rest.querySelector('summary').after(h('div', { class: 'answer' }, [...rest.children].slice(1)));
  return h('div', { class: 'head' }, first, name, h('div', { class: 'larges' }, large), rest);
}

/** What the program has to say beside its answer, each line a sentence; what it asked before is left out. */
export function messages(text) {
  const begin = text.search(/^wedgebook: /m);
  return text.slice(Math.max(0, begin)).split('\n').map((line) => line.replace(/^wedgebook: /, '').trim()).filter((line) => line !== '');
}

/** An answer that could not be given. */
export function refusal(answer) {
  return h('div', { class: 'refusal', role: 'alert' }, messages(answer.err).map((line) => h('p', {}, line)));
}

/** What was said beside an answer, folded; what could not be answered stands open. */
export function aside(answer) {
  if (answer.status === 2) return refusal(answer);
  const lines = messages(answer.err);
  return lines.length > 0 && folded('What was taken as usual', lines.map((line) => h('p', {}, line)));
}

export const textOf = (bytes) => new TextDecoder().decode(bytes);
export const bytesOf = (text) => new TextEncoder().encode(text);

/** A figure of the program, as large as its place. */
export function figure(bytes, name) {
  const parsed = new DOMParser().parseFromString(textOf(bytes), 'image/svg+xml');
  const svg = document.importNode(parsed.documentElement, true);
  svg.removeAttribute('width');
  svg.removeAttribute('height');
  const save = button('Save figure', () => download(name, bytes));
  const print = button('Print', () => printed(svg));
  const larger = button('Larger', () => {
    const large = whole.classList.toggle('larger');
    larger.setAttribute('aria-pressed', String(large));
  }, { 'aria-pressed': 'false' });
  const whole = h('figure', { class: 'figure' }, h('div', { class: 'drawn' }, svg), h('figcaption', { class: 'row' }, larger, save, print));
  return whole;
}

/** A place on a curve, read out by a slider: a row of the program's own table. */
export function readout(bytes) {
  const [head, ...rows] = rowsOf(textOf(bytes));
  if (rows.length === 0) return null;
  const place = h('output', { for: 'place' });
  const slider = h('input', { type: 'range', id: 'place', min: '0', max: String(rows.length - 1), value: String(Math.floor(rows.length / 2)), oninput: () => show() });
  const show = () => {
    const row = rows[Number(slider.value)];
    const of = (name) => row[head.indexOf(name)];
    place.textContent = `log exposure ${of('log_exposure')}: density ${of('density')} (${of('density_low')} to ${of('density_high')}), slope ${of('slope')}`;
    slider.setAttribute('aria-valuetext', place.textContent);
  };
  slider.value = String(Math.floor(rows.length / 2));
  show();
  return h('div', { class: 'readout' }, h('label', { for: 'place' }, 'Place on the curve'), slider, place);
}

/** Prints one figure alone. */
export function printed(svg) {
  const sheet = h('div', { id: 'sheet' }, svg.cloneNode(true));
  document.body.append(sheet);
  document.documentElement.classList.add('printing');
  const end = () => {
    sheet.remove();
    document.documentElement.classList.remove('printing');
  };
  addEventListener('afterprint', end, { once: true });
  print();
}

/** Gives a file to the device. */
export function download(name, bytes) {
  const kind = { svg: 'image/svg+xml', html: 'text/html', csv: 'text/csv', zip: 'application/zip' }[name.split('.').pop()];
  const address = URL.createObjectURL(new Blob([bytes], { type: kind ?? 'application/octet-stream' }));
  const link = h('a', { href: address, download: name.split('/').pop() });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(address), 60000);
}

/** Asks for files of the device. */
export function picker(label, onfiles, { accept, multiple = true, id } = {}) {
  const input = h('input', { type: 'file', id, class: 'unseen', accept, multiple, tabindex: '-1', 'aria-label': label, onchange: async () => {
    const files = await Promise.all([...input.files].map(async (file) => [file.name, new Uint8Array(await file.arrayBuffer())]));
    input.value = '';
    await onfiles(files);
  } });
  return h('span', { class: 'picker' }, button(label, () => input.click()), input);
}

/** Rows of a table of commas, with quotes as they are usual. */
export function rowsOf(text) {
  const rows = [[]];
  let cell = '', quoted = false;
  const end = () => {
    rows.at(-1).push(cell);
    cell = '';
  };
  for (let i = 0; i < text.length; i += 1) {
    const c = text[i];
    if (quoted) {
      if (c === '"' && text[i + 1] === '"') {
        cell += '"';
        i += 1;
      } else if (c === '"') quoted = false;
      else cell += c;
    } else if (c === '"') quoted = true;
    else if (c === ',') end();
    else if (c === '\n') {
      end();
      rows.push([]);
    } else if (c !== '\r') cell += c;
  }
  end();
  return rows.filter((row) => row.length > 1 || row[0] !== '');
}

/** A cell of such a table. */
export const cell = (text) => (/[",\n\r]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);
