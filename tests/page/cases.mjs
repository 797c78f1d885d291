// Inputs made by chance, the same for the same seed: files and the command lines that read them.
//
// Emulsions, papers and baths are invented; one case in ten or so has a fault, so that refusals are
// compared too.

/** Numbers between 0 and 1 by a seed: SplitMix on 32 bits. */
export class Chance {
  constructor(seed) {
    this.state = seed >>> 0;
  }
  next() {
    this.state = (this.state + 0x9e3779b9) >>> 0;
    let z = this.state;
    z = Math.imul(z ^ (z >>> 16), 0x21f0aaad);
    z = Math.imul(z ^ (z >>> 15), 0x735a2d97);
    return ((z ^ (z >>> 15)) >>> 0) / 2 ** 32;
  }
  between(low, high) {
    return low + (high - low) * this.next();
  }
  whole(low, high) {
    return low + Math.floor(this.next() * (high - low + 1));
  }
  of(list) {
    return list[this.whole(0, list.length - 1)];
  }
  happens(share) {
    return this.next() < share;
  }
  /** About normal, of standard deviation 1. */
  normal() {
    let sum = -6;
    for (let i = 0; i < 12; i += 1) sum += this.next();
    return sum;
  }
}

const soft = (z) => (z > 30 ? z : Math.log1p(Math.exp(z)));

/** An emulsion: density at a log exposure after so many minutes at 20 °C. */
function emulsion(chance) {
  const fog = chance.between(0.05, 0.35), most = chance.between(0.7, 1.6), rate = chance.between(0.06, 0.18);
  const toe = chance.between(0.15, 0.45), start = chance.between(-2.6, -1.6), cap = chance.between(1.6, 3.2);
  return (x, minutes) => {
    const gamma = most * (1 - Math.exp(-rate * (minutes - 0.5)));
    const line = gamma * toe * soft((x - start + 0.02 * minutes) / toe);
    return fog + 0.004 * minutes + cap - 0.2 * soft((cap - line) / 0.2);
  };
}

const TITLE = 'strip,step,tablet_density,density,minutes,celsius,film,developer,date';

/** The rows of one strip: 11 or 21 steps and mostly an unexposed patch. */
function strip(chance, density, name, minutes, celsius, date = '2026-03-10') {
  const steps = chance.happens(0.7) ? 21 : 11;
  const spacing = steps === 21 ? 0.15 : 0.3;
  const sigma = chance.of([0.004, 0.01, 0.02]);
  const end = `${minutes},${celsius},Larkfold,Quillback 1+6,${date}`;
  const rows = [];
  const row = (step, tablet, d) => rows.push(`${name},${step},${tablet},${Math.max(0, d).toFixed(2)},${end}`);
  const theta = minutes * Math.exp(0.09 * (celsius - 20));
  if (chance.happens(0.8)) row(0, '', density(-9, theta) + sigma * chance.normal());
  for (let step = 1; step <= steps; step += 1) {
    const tablet = 3.05 - spacing * (step - 1);
    if (chance.happens(0.03)) continue;
    const misread = chance.happens(0.015) ? chance.of([-0.3, 0.3]) : 0;
    row(step, tablet.toFixed(2), density(-tablet, theta) + sigma * chance.normal() + misread);
    if (chance.happens(0.05)) row(step, tablet.toFixed(2), density(-tablet, theta) + sigma * chance.normal());
  }
  return rows;
}

/** Now and then a fault in a table, as people and spreadsheets make them. */
function spoilt(chance, text) {
  if (!chance.happens(0.12)) return text;
  const lines = text.split('\n');
  const at = chance.whole(0, lines.length - 1);
  switch (chance.whole(0, 7)) {
    case 0: return text.replaceAll(',', ';').replaceAll('.', ',');
    case 1: return `\ufeff${text.replaceAll('\n', '\r\n')}`;
    case 2: return lines.with(at, lines[at].replace(/\d/, 'x')).join('\n');
    case 3: return lines.with(at, `${lines[at]},extra`).join('\n');
    case 4: return lines.slice(0, 3).join('\n');
    case 5: return lines.with(at, lines[at].replace(/,([^,]*)$/, ',"$1')).join('\n');
    case 6: return text.slice(0, Math.floor(text.length * chance.next()));
    default: return lines.with(0, lines[0].replace('density', 'Dichte')).join('\n');
  }
}

const clear = (chance) => (chance.happens(0.7) ? ['--log-exposure-clear', '0'] : []);
const json = (chance) => (chance.happens(0.8) ? ['--json'] : []);

/** The film and its control strips, which the pairing's commands share in one case. */
function family(chance, density) {
  const rows = [];
  const times = [4, 5.5, 7, 9, 12, 16, 20].filter(() => chance.happens(0.75));
  for (const [index, minutes] of times.entries()) {
    const celsius = chance.happens(0.15) ? chance.of([18, 24]) : 20;
    rows.push(...strip(chance, density, 'ABCDEFG'[index], minutes, celsius));
  }
  return [TITLE, ...rows, ''].join('\n');
}

/** A pairing that is surely made, and the emulsion it is of. */
function paired(chance) {
  const density = emulsion(chance);
  const rows = [5, 7, 9, 12, 16].flatMap((minutes, i) => strip(chance, density, 'ABCDE'[i], minutes, 20));
  return {
    density,
    files: new Map([['family.csv', [TITLE, ...rows, ''].join('\n')]]),
    first: ['calibrate', 'family.csv', '--log-exposure-clear', '0', '--out', 'pairing.toml'],
  };
}

const temperature = (chance) => chance.between(17, 25).toFixed(1);
const aim = (chance) => chance.of([
  ['--contrast', chance.between(0.4, 0.8).toFixed(2)],
  ['--scene-stops', chance.between(4, 10).toFixed(1)],
  ['--scene-stops', '7', '--paper-range', String(chance.whole(70, 130)), '--light', chance.of(['diffuse', 'condenser'])],
  [],
]);

function control(chance, density) {
  const activity = chance.between(0.6, 1.15);
  const older = (x, theta) => density(x, theta * activity) + (chance.happens(0.1) ? 0.15 : 0);
  return spoilt(chance, [TITLE, ...strip(chance, older, 'control', 9, 20, '2026-11-17'), ''].join('\n'));
}

const day = (number) => new Date(Date.UTC(2026, 4, 1) + number * 86400000).toISOString().slice(0, 10);

/** What is compared: files, and command lines that are run one after the other in their folder. */
export const KINDS = {
  curve(chance) {
    const density = emulsion(chance);
    const rows = Array.from({ length: chance.whole(1, 2) }, (_, i) => strip(chance, density, `s${i}`, chance.whole(4, 16), 20)).flat();
    const model = chance.happens(0.3) ? ['--model', chance.of(['smooth', 'shoulder', 'toe'])] : [];
    const more = chance.of([[], ['--plot', 'curve.svg'], ['--csv', 'curve.csv'], ['--measures', 'measures.csv'], ['--exposure-sigma', '0.03']]);
    const files = new Map([['strip.csv', spoilt(chance, [TITLE, ...rows, ''].join('\n'))]]);
    return { files, lines: [['curve', 'strip.csv', ...model, ...clear(chance), ...more, ...json(chance)]] };
  },
  calibrate(chance) {
    const text = spoilt(chance, family(chance, emulsion(chance)));
    const more = chance.of([[], ['--plot', 'pairing.svg'], ['--measure', chance.of(['gamma', 'average-gradient'])], ['--reference', '21.5'], ['--note', 'größer – “so”']]);
    return { files: new Map([['family.csv', text]]), lines: [['calibrate', 'family.csv', '--out', 'pairing.toml', ...clear(chance), ...more, ...json(chance)]] };
  },
  adjust(chance) {
    const { files, first } = paired(chance);
    const asked = () => chance.of([
      [...aim(chance), '--temperature', temperature(chance)],
      [...aim(chance), '--activity', chance.between(0.6, 1.1).toFixed(2)],
      ['--minutes', chance.between(4, 20).toFixed(1), '-t', temperature(chance)],
      ['--exposed-at', String(chance.of([50, 100, 200, 400])), '-t', '20'],
      ['--table', '--csv', 'times.csv'],
      [...aim(chance), '--card', 'card.svg'],
    ]);
    return { files, lines: [first, ...[1, 2, 3].map(() => ['adjust', 'pairing.toml', ...asked(), ...json(chance)])] };
  },
  drift(chance) {
    const { files, first } = paired(chance);
    const readings = () => {
      let now = chance.between(18, 25);
      return Array.from({ length: chance.whole(1, 5) }, (_, i) => `${(i * 1.5).toFixed(1)}=${(now += chance.between(-0.6, 0.3)).toFixed(1)}`);
    };
    return { files, lines: [first, ...[1, 2, 3].map(() => ['drift', 'pairing.toml', ...readings(), ...aim(chance), ...json(chance)])] };
  },
  verify(chance) {
    const { files, first, density } = paired(chance);
    files.set('control.csv', control(chance, density));
    files.set('later.csv', control(chance, density));
    return { files, lines: [first,
      ['verify', 'pairing.toml', 'control.csv', '--log-exposure-clear', '0', ...json(chance)],
      ['verify', 'pairing.toml', 'control.csv', 'later.csv', '--log-exposure-clear', '0', '--plot', 'control.svg', ...json(chance)]] };
  },
  bath(chance) {
    const { files, first, density } = paired(chance);
    let now = 0;
    const lines = [first, ['bath', 'mix', 'bath.csv', '--litres', String(chance.of([1, 1.5, 5])), '--date', day(now)]];
    for (let act = 0; act < 8; act += 1) {
      now += chance.whole(0, 9);
      const date = ['--date', day(chance.happens(0.06) ? now - 20 : now)];
      const name = `control-${act}.csv`;
      files.set(name, control(chance, density));
      lines.push([...chance.of([
        ['bath', 'film', 'bath.csv', '--rolls', String(chance.whole(1, 4))],
        ['bath', 'replenish', 'bath.csv', '--added-ml', String(chance.of([50, 70, 200, 90000]))],
        ['bath', 'strip', 'bath.csv', 'pairing.toml', name, '--log-exposure-clear', '0', '--json'],
        ['bath', 'note', 'bath.csv', chance.of(['turned yellow', 'größer, “so”; x'])],
        ['bath', 'film', 'none/bath.csv', '--rolls', '1'],
        chance.happens(0.2) ? ['bath', 'discard', 'bath.csv'] : ['bath', 'film', 'bath.csv', '--rolls', '1'],
      ]), ...date]);
    }
    const today = ['--date', day(now + 1)];
    lines.push(['bath', 'status', 'bath.csv', ...today, '--json'], ['bath', 'forecast', 'bath.csv', ...today, '--json'], ['bath', 'chart', 'bath.csv', ...today, '--plot', 'bath.svg', '--json']);
    return { files, lines };
  },
  paper(chance) {
    return { files: new Map([['paper.csv', spoilt(chance, papers(chance))]]), lines: [['paper', 'paper.csv', ...chance.of([[], ['--log-exposure-clear', '2.0']]), ...chance.of([[], ['--paper-range', String(chance.whole(60, 150))], ['--plot', 'paper.svg']]), ...json(chance)]] };
  },
  proof(chance) {
    const density = (s) => 0.06 + chance.between(1.9, 2.1) / (1 + (chance.between(4, 6) / s) ** 2.2);
    const seconds = [3, 4, 5.6, 8, 11, 16, 22, 32].filter(() => chance.happens(0.85));
    const strip = ['seconds,density', '0,0.06', ...seconds.map((s) => `${s},${(density(s) + 0.01 * chance.normal()).toFixed(2)}`), ''].join('\n');
    const low = chance.between(0.25, 0.6), high = low + chance.between(0.5, 1.4);
    const files = new Map([['proof-strip.csv', spoilt(chance, strip)], ['paper.csv', papers(chance)]]);
    const more = chance.of([[], ['--negative', `${low.toFixed(2)}:${high.toFixed(2)}`, '--paper', 'paper.csv'], ['--plot', 'proof.svg'], ['--aperture', '8', '--to-aperture', '11']]);
    return { files, lines: [['proof', 'proof-strip.csv', ...more, ...json(chance)]] };
  },
};

function papers(chance) {
  const rows = ['filter,step,tablet_density,density,paper,date'];
  for (const filter of chance.of([['2'], ['0', '2', '4'], ['1', '3']])) {
    const range = 1.5 - 0.2 * Number(filter) + chance.between(-0.1, 0.1), most = chance.between(1.9, 2.2);
    rows.push(`${filter},0,,0.05,Stillwater Gloss,2026-03-17`);
    for (let step = 1; step <= 21; step += 1) {
      const tablet = 0.05 + 0.1 * (step - 1);
      const d = 0.05 + most / (1 + Math.exp((tablet - 1.1) * (5 / range))) + 0.008 * chance.normal();
      rows.push(`${filter},${step},${tablet.toFixed(2)},${Math.max(0.03, d).toFixed(2)},Stillwater Gloss,2026-03-17`);
    }
  }
  return `${rows.join('\n')}\n`;
}
