// What is kept of a development, and what follows from it. Nothing here touches the page.
//
// The state is kept after every tap. Times in it are instants in milliseconds since 1970; what has
// passed is always worked out from them, never counted.

const MINUTE = 60000;
const SECOND = 1000;
// Taps that follow each other within so many milliseconds make one reading.
const ONE_READING = 8000;
// A jump of more than so many °C is asked about.
const JUMP = 3;
// Milliseconds by which the clock may differ from the monotonic one unnoticed.
const CLOCK_TOLERANCE = 1500;

function freshState(answer) {
  return {
    version: 1,
    batch: 0,
    celsius: answer.celsius,
    started: null,
    stopped: null,
    readings: [],
    tapped: null,
    steps: [],
    finished: [],
    offset: 0,
    settings: {
      drain: 0,
      pour: 0,
      first: 30,
      each: 10,
      every: 60,
      sound: true,
      voice: false,
      dim: 0,
    },
  };
}

// Whether something that was kept is a state of this page.
function isState(kept) {
  return (
    kept !== null &&
    typeof kept === "object" &&
    kept.version === 1 &&
    Array.isArray(kept.readings) &&
    kept.readings.every((r) => Number.isFinite(r.minutes) && Number.isFinite(r.celsius)) &&
    (kept.started === null || Number.isFinite(kept.started)) &&
    (kept.stopped === null || Number.isFinite(kept.stopped)) &&
    Number.isFinite(kept.celsius) &&
    Number.isFinite(kept.offset) &&
    Array.isArray(kept.steps) &&
    Array.isArray(kept.finished) &&
    typeof kept.settings === "object" &&
    kept.settings !== null
  );
}

// A clock that agrees with the monotonic one. `wall` and `monotonic` give milliseconds. A wall clock
// that is set back is corrected; one that goes forward is believed, for the device may have slept,
// and it is said.
function makeClock(wall, monotonic, offset) {
  let before = { wall: wall(), monotonic: monotonic() };
  const clock = { offset, moved: 0 };
  clock.now = () => {
    const now = { wall: wall(), monotonic: monotonic() };
    const jump = now.wall - before.wall - (now.monotonic - before.monotonic);
    before = now;
    if (jump < -CLOCK_TOLERANCE) {
      clock.offset -= jump;
      clock.moved = jump;
    } else if (jump > CLOCK_TOLERANCE) {
      clock.moved = jump;
    }
    return now.wall + clock.offset;
  };
  return clock;
}

// Minutes in the bath at an instant, to 0.0001: development begins when the pour is done.
function elapsedMinutes(state, now) {
  const end = state.stopped === null ? now : state.stopped;
  const minutes = (end - state.started - state.settings.pour * SECOND) / MINUTE;
  return Math.max(0, Math.round(minutes * 1e4) / 1e4);
}

// The film goes in.
function start(state, now) {
  state.started = now;
  state.stopped = null;
  state.readings = [{ minutes: 0, celsius: state.celsius }];
  state.tapped = null;
}

// The temperature that counts now.
function temperatureNow(state) {
  const last = state.readings[state.readings.length - 1];
  return last === undefined ? state.celsius : last.celsius;
}

// A temperature is read. Before the start it is that of the bath. A reading of the same instant takes the
// place of the one before it.
function enterTemperature(state, celsius, now) {
  const rounded = Math.round(celsius * 100) / 100;
  if (state.started === null) {
    state.celsius = rounded;
    return;
  }
  const minutes = elapsedMinutes(state, now);
  const last = state.readings[state.readings.length - 1];
  if (minutes <= last.minutes) {
    last.celsius = rounded;
  } else {
    state.readings.push({ minutes, celsius: rounded });
  }
  state.tapped = null;
}

// A tap on + or -: it changes the reading that the tap before it made, if that was a moment ago.
function tapTemperature(state, by, now) {
  const celsius = temperatureNow(state) + by;
  const again = state.tapped !== null && now - state.tapped < ONE_READING && state.readings.length > 1;
  if (again && state.started !== null) {
    state.readings.pop();
  }
  enterTemperature(state, celsius, now);
  state.tapped = state.started === null ? null : now;
}

// Takes the last reading back; the first one stays.
function undoReading(state) {
  if (state.readings.length > 1) {
    state.readings.pop();
    state.tapped = null;
  }
}

// Whether a temperature is so far from the last one that it may be mistyped.
function isJump(state, celsius) {
  return Math.abs(celsius - temperatureNow(state)) > JUMP;
}

// What is left at an instant, in minutes: until the film is out, and until draining begins.
function timeLeft(answer, state, now) {
  const readings = state.started === null ? [{ minutes: 0, celsius: state.celsius }] : state.readings;
  const left = remainingMinutes(answer.law, readings, answer.activity, answer.target);
  const last = readings[readings.length - 1].minutes;
  const passed = state.started === null ? 0 : elapsedMinutes(state, now) - last;
  const drain = state.settings.drain / 60;
  return {
    takeOut: { value: last + left.value, low: last + left.low, high: last + left.high },
    toGo: left.value - passed - drain,
    low: left.low - passed - drain,
    high: left.high - passed - drain,
  };
}

// By how many minutes the last reading changed the time; null before there are two.
function changeByLast(answer, state) {
  if (state.readings.length < 2) {
    return null;
  }
  const out = (readings) =>
    readings[readings.length - 1].minutes +
    remainingMinutes(answer.law, readings, answer.activity, answer.target).value;
  return out(state.readings) - out(state.readings.slice(0, -1));
}

// The film is out.
function stop(state, now) {
  state.stopped = now;
}

// The readings with the last temperature held until the film was out, for the log.
function closedReadings(state) {
  const out = elapsedMinutes(state, state.stopped);
  const last = state.readings[state.readings.length - 1];
  const held = { minutes: out, celsius: last.celsius };
  return out > last.minutes ? [...state.readings, held] : [...state.readings];
}

// The temperatures as CSV that `drift` reads.
function logAsCsv(readings) {
  const rows = readings.map((r) => `${r.minutes},${r.celsius}\n`);
  return `minutes,celsius\n${rows.join("")}`;
}

// A step after development begins, or is done.
function tapStep(state, now) {
  const open = state.steps.find((step) => step.done === null);
  if (open === undefined) {
    state.steps.push({ begun: now, done: null });
  } else {
    open.done = now;
  }
}

// The batch is done: what is known of it is kept, and the next one begins where it ended.
function nextBatch(state) {
  const readings = closedReadings(state);
  const minutes = elapsedMinutes(state, state.stopped);
  state.finished.push({ readings, minutes, started: state.started });
  state.celsius = temperatureNow(state);
  state.batch += 1;
  state.started = null;
  state.stopped = null;
  state.readings = [];
  state.steps = [];
  state.tapped = null;
}

// Where the beat of agitation is, some milliseconds after the start: whether it is on, its number, and the
// share of its time that has passed. A new temperature does not move it.
function beatAt(settings, passed) {
  const [first, each, every] = [settings.first, settings.each, settings.every].map((s) => s * SECOND);
  if (passed < first) {
    return { on: true, number: 0, share: passed / first };
  }
  if (!(every > 0) || !(each > 0)) {
    return { on: false, number: 0, share: 0 };
  }
  const number = Math.floor(passed / every);
  const within = passed - number * every;
  const begun = number > 0 && number * every >= first;
  if (begun && within < each) {
    return { on: true, number, share: within / each };
  }
  const restFrom = begun ? each : Math.max(0, first - number * every);
  return { on: false, number, share: Math.min(1, (within - restFrom) / (every - restFrom)) };
}

// Minutes as a clock has them: 9:05, to the second.
function clockOf(minutes) {
  const seconds = Math.round(Math.abs(minutes) * 60);
  return `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`;
}

// A time as the command says it: to 5 s, from 10 minutes on to 15 s.
function roundedClock(minutes) {
  const seconds = Math.max(0, minutes) * 60;
  const step = seconds < 600 ? 5 : 15;
  return clockOf((step * Math.max(1, Math.round(seconds / step))) / 60);
}

// Minutes to the second with their sign: +0:38.
function signedClock(minutes) {
  const zero = Math.round(Math.abs(minutes) * 60) === 0;
  return `${zero ? "±" : minutes < 0 ? "−" : "+"}${clockOf(minutes)}`;
}

// A temperature in the unit of the page.
function degreesOf(unit, celsius) {
  return unit === "fahrenheit"
    ? `${(celsius * 1.8 + 32).toFixed(1)} °F`
    : `${celsius.toFixed(1)} °C`;
}

// A temperature as a person types it, in °C; null for what is none: 21.4, 21,4, 70F.
function typedCelsius(unit, text) {
  const found = /^\s*([0-9]+(?:[.,][0-9]+)?)\s*[°º]?\s*([CF]?)\s*$/i.exec(text);
  if (found === null) {
    return null;
  }
  const degrees = Number(found[1].replace(",", "."));
  const own = found[2].toUpperCase();
  const fahrenheit = own === "F" || (own === "" && unit === "fahrenheit");
  return fahrenheit ? (degrees - 32) / 1.8 : degrees;
}
