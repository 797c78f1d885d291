// A strip: its readings typed one by one, its curve drawn anew at each.

import { draft } from './draft.js';
import { keep, look, theFolder } from './desk.js';
import { bytesOf, button, document_of, field, fields, figure, fileName, folded, h, headline, options, picker, piece, promptly, readout, refusal, rowsOf, settled, textOf } from './ui.js';

const ABOUT = ['tablet', 'steps', 'increment', 'thinnest', 'densities', 'minutes', 'celsius', 'film', 'developer', 'clear', 'repeats'];
const fresh = () => ({
  tablet: 'even', steps: '21', increment: '0.15', thinnest: '0.05', densities: '', name: '', minutes: '', celsius: '', film: '',
  developer: '', date: '', note: '', clear: '', repeats: 1, cells: [], file: '', last: '', right: [], at: 0, open: true,
});
/** Milliseconds after which the keys rest. */
const RESTS = 600;
const NUMBER = /^\d{1,2}([.,]\d{0,6})?$/;

export const strip = () => draft('strip', fresh(), ABOUT);

/** The steps of the tablet, as the program names them: [name, value]. */
async function stepsOf(value) {
  const count = value.tablet === 'even' ? Number(value.steps) : value.densities.split(/[\s;]+/).filter(Boolean).length;
  if (!Number.isInteger(count) || count < 1 || count > 200) return { steps: [], why: null };
  const stdin = `${['0.5', ...Array(count).fill('0.5')].join('\n')}\n`;
  const answer = await typed(value, stdin, 'steps.csv');
  if (answer.status !== 0) return { steps: [], why: answer };
  const [head, ...rows] = rowsOf(textOf(answer.files.get('steps.csv')));
  const at = head.indexOf('step');
  return { steps: rows.filter((row) => row[at] !== '').map((row) => [row[at], row[at + 1]]), why: null };
}

/** What `type` makes of lines, in a folder of its own. */
async function typed(value, stdin, file) {
  const files = new Map();
  const usual = await theFolder().read('wedgebook.toml');
  if (usual) files.set('wedgebook.toml', usual);
  let tablet = [['--steps', value.steps], ['--increment', value.increment.replace(',', '.')], ['--thinnest', value.thinnest.replace(',', '.')]];
  if (value.tablet !== 'even') {
    const rows = value.densities.split(/[\s;]+/).filter(Boolean).map((text, i) => `${i + 1},${text.replace(',', '.')}`);
    files.set('tablet.csv', bytesOf(`step,tablet_density\n${rows.join('\n')}\n`));
    tablet = [['--tablet', 'tablet.csv']];
  }
  const about = [['--name', value.name], ['--film', value.film], ['--developer', value.developer], ['--date', value.date],
    ['--note', value.note], ['--minutes', value.minutes], ['--temperature', value.celsius]];
  return look(['type', file, '--json', '--with-html', ...options([...tablet, ...about])], { stdin, files });
}

/** The readings as the program writes them: each pass over the strip is typed by itself. */
async function sheetOf(value, count) {
  const out = { text: '', doubts: [], wrong: [], refused: null };
  for (let pass = 0; pass < value.repeats; pass += 1) {
    const cells = Array.from({ length: count + 1 }, (_, row) => (value.cells[row]?.[pass] ?? '').trim());
    cells.forEach((text, row) => text !== '' && !NUMBER.test(text) && out.wrong.push([row, pass]));
    const lines = cells.map((text) => (NUMBER.test(text) ? text : '-'));
    if (lines.every((line) => line === '-')) continue;
    const answer = await typed(value, `${lines.join('\n')}\nend\n`, 'typed.csv');
    if (answer.status !== 0) {
      out.refused = answer;
      continue;
    }
    const said = document_of(answer);
    if (said.readings !== lines.filter((line) => line !== '-').length) {
      for (const [row, line] of lines.entries()) {
        if (line === '-') continue;
        const alone = document_of(await typed(value, `${'-\n'.repeat(row)}${line}\nend\n`, 'typed.csv'));
        if (alone?.readings !== 1) out.wrong.push([row, pass]);
      }
      continue;
    }
    out.doubts.push(...(said.out_of_line ?? []).map(({ place, density, why }) => ({ row: place, pass, density, why })));
    const text = textOf(answer.files.get('typed.csv'));
    out.text += out.text === '' ? text : text.slice(text.indexOf('\n') + 1);
  }
  return out;
}

/** Takes a file that `type` wrote back into the grid; null where it is of another form. */
function ofSheet(text) {
  const [head, ...rows] = rowsOf(text);
  const at = (name) => head?.indexOf(name) ?? -1;
  if (['strip', 'step', 'tablet_density', 'density'].some((name, i) => at(name) !== i) || rows.length === 0) return null;
  const names = new Set(rows.map((row) => row[0]));
  if (names.size !== 1 || rows.some((row) => row.length !== head.length)) return null;
  const about = (name) => (at(name) < 0 ? '' : rows[0][at(name)]);
  const steps = [...new Map(rows.filter((row) => row[1] !== '').map((row) => [row[1], row[2]])).entries()];
  return { name: rows[0][0], about, rows, steps };
}

export function screen({ say, go }) {
  const it = strip();
  const value = it.value;
  let steps = [];
  let turn = 0;
  let typedAt = -Infinity;
  let latest = null;
  const grid = h('div', { class: 'grid', id: 'grid' });
  const shown = h('div', { id: 'curve', class: 'pinned' });
  const result = h('div', { id: 'strip-answer' });
  const wrongTablet = h('div', {});
  const kept = h('p', { id: 'strip-kept', class: 'soft', role: 'status' });

  const inputs = () => [...grid.querySelectorAll('input')];
  const inputAt = (row, pass) => grid.querySelector(`input[data-row="${row}"][data-pass="${pass}"]`);

  function onCell(input) {
    const [row, pass] = [Number(input.dataset.row), Number(input.dataset.pass)];
    while (value.cells.length <= row) value.cells.push([]);
    value.cells[row][pass] = input.value;
    value.at = row;
    typedAt = performance.now();
    it.save();
    anew();
  }

  /** Readings below each other, from a sheet: a line a step, further columns are repeats. */
  function paste(text, row, pass) {
    const lines = text.replace(/\r/g, '').split('\n').map((line) => line.trim()).filter((line) => line !== '');
    lines.forEach((line, i) => {
      if (row + i > steps.length) return;
      while (value.cells.length <= row + i) value.cells.push([]);
      line.split(/[\t;]|\s{2,}/).forEach((one, k) => {
        value.repeats = Math.min(9, Math.max(value.repeats, pass + k + 1));
        if (pass + k < 9) value.cells[row + i][pass + k] = one.trim();
      });
    });
    it.save();
    drawGrid();
    anew();
  }

  function drawGrid() {
    grid.style.setProperty('--passes', value.repeats);
    const rows = [['', ''], ...steps].map(([name, density], row) => {
      const cells = Array.from({ length: value.repeats }, (_, pass) => h('input', {
        id: `cell-${row}-${pass}`, inputmode: 'decimal', enterkeyhint: 'next', autocomplete: 'off', value: value.cells[row]?.[pass] ?? '',
        'data-row': row, 'data-pass': pass, 'aria-label': `density of ${row === 0 ? 'the unexposed film' : `step ${name}`}${pass > 0 ? `, reading ${pass + 1}` : ''}`,
        oninput: (event) => onCell(event.target),
        onfocus: (event) => event.target.select(),
        onpaste: (event) => {
          const text = event.clipboardData.getData('text');
          if (!/[\n\t]/.test(text.trim())) return;
          event.preventDefault();
          paste(text, row, pass);
        },
        onkeydown: (event) => {
          const move = { Enter: 1, ArrowDown: 1, ArrowUp: -1 }[event.key];
          if (!move) return;
          event.preventDefault();
          inputAt(row + (event.shiftKey ? -move : move), pass)?.focus();
        },
      }));
      const label = row === 0 ? h('b', { class: 'fog' }, 'unexposed') : [h('b', {}, name), h('small', {}, density)];
      return h('div', { class: 'step', 'data-row': row }, h('span', { class: 'swatch', 'aria-hidden': 'true', 'data-tone': row === 0 ? 0 : Math.ceil((row / Math.max(1, steps.length)) * 10) }), h('span', { class: 'which' }, label), cells, h('div', { class: 'doubt' }));
    });
    grid.replaceChildren(...rows);
  }

  function mark(sheet) {
    latest = sheet;
    for (const input of inputs()) input.removeAttribute('aria-invalid');
    for (const place of grid.querySelectorAll('.doubt')) place.replaceChildren();
    const rowOf = (row) => grid.querySelector(`.step[data-row="${row}"]`);
    for (const step of grid.children) step.classList.remove('doubted');
    const flag = (row, pass, words, may) => {
      const input = inputAt(row, pass);
      if (!input) return;
      // A number that is being typed is judged when the keys rest.
      if (input === document.activeElement && performance.now() - typedAt < RESTS) {
        judged();
        return;
      }
      input.setAttribute('aria-invalid', 'true');
      rowOf(row).classList.add('doubted');
      rowOf(row).lastChild.append(h('p', {}, words), h('div', { class: 'row' }, button('Correct it', () => input.focus()), may));
    };
    for (const [row, pass] of sheet.wrong) flag(row, pass, 'This is no density. It is left out.', null);
    for (const { row, pass, why } of sheet.doubts) {
      const key = `${row}:${pass}:${value.cells[row]?.[pass]}`;
      if (value.right.includes(key)) continue;
      flag(row, pass, `${value.cells[row]?.[pass]} ${why}. Was it misread?`, button('It was read right', () => {
        value.right.push(key);
        it.save();
        anew();
      }));
    }
  }

  const judged = settled(() => mark(latest), RESTS);

  /** Keeps the sheet: never in the place of a file that this window has not written or opened. */
  async function save(text) {
    const work = async () => {
      const folder = theFolder();
      const wanted = `strips/${fileName(value.name)}.csv`;
      const there = async (name) => {
        const bytes = await folder.read(name);
        return bytes && textOf(bytes);
      };
      let name = wanted;
      const own = value.file !== '' && (await there(value.file)) === value.last;
      if (!(own && value.file === wanted)) {
        for (let n = 2; (await there(name)) !== null && !(own && name === value.file); n += 1) name = wanted.replace(/\.csv$/, `-${n}.csv`);
        if (name !== wanted) say(`Another file is named ${wanted}. This strip is kept as ${name}.`);
      }
      const files = new Map([[name, bytesOf(text)]]);
      if (own && value.file !== name) files.set(value.file, null);
      await keep(files);
      value.file = name;
      value.last = text;
      it.save();
      kept.textContent = `Kept as ${name}.`;
    };
    return navigator.locks ? navigator.locks.request('wedgebook-strips', work) : work();
  }

  let [unsaved, saving] = [null, null];

  /** Keeps what is not kept yet: before another strip comes, or when the keys rest. */
  async function saveNow() {
    clearTimeout(saving);
    const text = unsaved;
    unsaved = null;
    if (text === null || (text === value.last && value.file !== '')) return;
    try {
      await save(text);
    } catch (error) {
      say(error.message, true);
    }
  }

  function saveSoon(text) {
    clearTimeout(saving);
    unsaved = text;
    saving = setTimeout(saveNow, 200);
  }

  const anew = promptly(async () => {
    turn += 1;
    const mine = turn;
    const sheet = await sheetOf(value, steps.length);
    if (mine !== turn) return;
    mark(sheet);
    if (sheet.refused) {
      result.replaceChildren(refusal(sheet.refused));
      return;
    }
    if (sheet.text === '') {
      shown.replaceChildren();
      result.replaceChildren(h('p', { class: 'soft' }, 'Type the density of the unexposed film, then of each step from the densest patch of the tablet on. The curve is drawn as it grows.'));
      return;
    }
    saveSoon(sheet.text);
    await curve(sheet.text, mine);
  });

  async function curve(text, mine) {
    const files = new Map([['strip.csv', bytesOf(text)]]);
    const usual = await theFolder().read('wedgebook.toml');
    if (usual) files.set('wedgebook.toml', usual);
    const args = ['curve', 'strip.csv', '--json', '--with-html', ...options([['--log-exposure-clear', value.clear]])];
    const answer = await look([...args, '--plot=strip.svg'], { files });
    if (mine !== turn) return;
    const svg = answer.files.get('strip.svg');
    shown.replaceChildren(...(svg ? [figure(svg, 'strip.svg')] : []));
    const said = document_of(answer);
    if (!said) {
      result.replaceChildren(refusal(answer));
      return;
    }
    const [only] = said.strips;
    const known = ['contrast_index', 'average_gradient', 'gamma', 'base_plus_fog'].filter((key) => only[key]);
    const view = headline(said.html, known, 'All measures, and why some are missing');
    const large = svg && folded('The curve, to read off, save and print');
    if (large) {
      // What is folded is made when it is opened. Beside the grid there is room for it.
      large.addEventListener('toggle', async () => {
        if (!large.open || large.children.length > 1) return;
        large.append(figure(svg, 'strip.svg'));
        const table = (await look([...args, '--csv=curve.csv'], { files })).files.get('curve.csv');
        if (table) large.append(readout(table) ?? '');
      });
      large.open = matchMedia('(min-width: 60rem)').matches;
    }
    result.replaceChildren(...(large ? [large] : []), view, ...(answer.status === 2 ? [refusal(answer)] : []));
  }

  async function tabletAnew() {
    const found = await stepsOf(value);
    steps = found.steps;
    wrongTablet.replaceChildren(...(found.why ? [refusal(found.why)] : []));
    drawGrid();
    anew();
  }
  const tabletSettled = settled(tabletAnew, 250);
  const onAbout = (name) => (['steps', 'increment', 'thinnest', 'densities'].includes(name) ? tabletSettled() : anew());

  function take(name, bytes) {
    const found = /\.csv$/i.test(name) ? ofSheet(textOf(bytes)) : null;
    if (!found) return false;
    const passes = new Map();
    it.clear(['cells', 'right', 'note', 'date']);
    // Where the tablet of the screen has all of its steps, more of them can be typed; else it has those that were read.
    const own = new Map(steps.map(([step, density], i) => [`${step}=${Number(density)}`, i + 1]));
    const fits = found.steps.every(([step, density]) => own.has(`${step}=${Number(density)}`));
    const rowOf = new Map(found.steps.map(([step, density], i) => [step, fits ? own.get(`${step}=${Number(density)}`) : i + 1]));
    if (!fits) Object.assign(value, { tablet: 'listed', densities: found.steps.map(([, density]) => density).join(' ') });
    for (const row of found.rows) {
      const place = row[1] === '' ? 0 : rowOf.get(row[1]);
      const pass = passes.get(place) ?? 0;
      passes.set(place, pass + 1);
      while (value.cells.length <= place) value.cells.push([]);
      value.cells[place][pass] = row[3];
    }
    const { about } = found;
    Object.assign(value, {
      name: found.name, minutes: about('minutes'), celsius: about('celsius'),
      film: about('film'), developer: about('developer'), date: about('date'), note: about('note'), repeats: Math.max(1, ...passes.values()), file: name, last: textOf(bytes),
    });
    it.save();
    return true;
  }

  async function another() {
    await saveNow();
    it.clear(['cells', 'right', 'file', 'last', 'note', 'date', 'at']);
    await named();
    go('strip');
  }

  /** A name that no strip has yet. */
  async function named() {
    const names = await theFolder().names();
    let n = 1;
    while (names.includes(`strips/strip ${n}.csv`)) n += 1;
    value.name = `strip ${n}`;
    it.save();
  }

  async function onFiles(files) {
    await saveNow();
    await keep(new Map(files.map(([name, bytes]) => [`strips/${fileName(name)}`, bytes])));
    const [name, bytes] = files[0];
    if (files.length === 1 && take(`strips/${fileName(name)}`, bytes)) return go('strip');
    say(`${files.map(([one]) => one).join(', ')}: taken into the folder.`);
    const answer = await look(['curve', ...files.map(([one]) => `strips/${fileName(one)}`), '--json', '--with-html', '--plot=curve.svg', ...options([['--log-exposure-clear', value.clear]])]);
    const svg = answer.files.get('curve.svg');
    const said = document_of(answer);
    turn += 1;
    shown.replaceChildren(...(svg ? [figure(svg, 'curve.svg')] : []));
    result.replaceChildren(...(said ? [piece(said.html)] : []), ...(answer.status === 2 || !said ? [refusal(answer)] : []));
    return undefined;
  }

  const tabletForm = h('div', {});
  function drawTablet() {
    const even = [
      { name: 'steps', label: 'Steps', mode: 'numeric' },
      { name: 'increment', label: 'Increment', mode: 'decimal', hint: 'from step to step' },
      { name: 'thinnest', label: 'Thinnest step', mode: 'decimal', hint: 'its density' },
    ];
    const listed = [{ name: 'densities', label: 'Densities of the tablet, densest first', mode: 'area', wide: true, placeholder: '3.05 2.90 2.75' }];
    tabletForm.replaceChildren(fields(it, value.tablet === 'even' ? even : listed, onAbout));
  }
  const which = field(it, { name: 'tablet', label: 'Step tablet', mode: 'select', options: [['even', 'even steps'], ['listed', 'its densities, as measured']] }, () => {
    drawTablet();
    tabletAnew();
  });
  drawTablet();

  const area = h('textarea', { rows: 4, 'aria-label': 'readings to paste', id: 'paste-area' });
  const view = [
    h('h1', {}, 'Strip'),
    h('div', { class: 'two' },
      h('section', { class: 'ask' },
        fields(it, [{ name: 'name', label: 'Name' }, { name: 'minutes', label: 'Developed, minutes', mode: 'text', placeholder: '9:30' }, { name: 'celsius', label: 'Temperature', mode: 'decimal', placeholder: '20' }], onAbout),
        folded('Film, developer, tablet, exposure',
          fields(it, [{ name: 'film', label: 'Film' }, { name: 'developer', label: 'Developer' }, { name: 'date', label: 'Day', mode: 'date' }, { name: 'note', label: 'Note' },
            { name: 'clear', label: 'Log exposure behind clear tablet', mode: 'decimal', hint: 'for speeds, where it is known' }], onAbout),
          h('div', { class: 'fields' }, which), tabletForm),
        wrongTablet,
        shown,
        grid,
        h('div', { class: 'row' },
          button('One more reading a step', () => {
            value.repeats = Math.min(9, value.repeats + 1);
            it.save();
            drawGrid();
          }),
          button('Next strip', another, { id: 'next-strip', class: 'main' })),
        kept,
        folded('Paste from a sheet, or open a file',
          h('p', {}, 'One line a patch: the unexposed film first, then each step. Further columns are repeated readings.'),
          area,
          h('div', { class: 'row' }, button('Take these readings', () => {
            paste(area.value, 0, 0);
            area.value = '';
          }, { id: 'paste-take' }), picker('Open a CSV or a sheet', onFiles, { accept: '.csv,.txt,.xlsx,.ods', id: 'open-strip' })),
          h('p', {}, 'Strips in the folder:'),
          h('div', { class: 'row', id: 'strip-files' }))),
      h('section', { class: 'said' }, result)),
  ];

  const begun = (async () => {
    if (value.name === '') await named();
    view[1].querySelector('#f-name').value = value.name;
    const names = (await theFolder().names()).filter((name) => name.startsWith('strips/') && name.endsWith('.csv'));
    view[1].querySelector('#strip-files').append(...names.map((name) => button(name.slice(7, -4), async () => {
      await saveNow();
      const bytes = await theFolder().read(name);
      if (take(name, bytes)) go('strip');
      else say(`${name} has another form than a strip that is typed here. It stays in the folder, and can be used for a pairing.`);
    })));
    if (value.file !== '') kept.textContent = `Kept as ${value.file}.`;
    await tabletAnew();
  })();
  return { view, begun };
}
