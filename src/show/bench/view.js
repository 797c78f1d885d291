// The page: what is shown, and what is tapped.

const HOLD = 1200; // milliseconds to hold a button that ends something
const ONE_TAP = 0.1; // °C
const DIMS = 4;

const by = (id) => document.getElementById(id);
// What is to be followed, one after the other: the tanks of a class night, or all batches of one time.
const { night, tanks } = readAnswers();
let answer = tanks[0];
const storageKey = `wedgebook-bench:${by("answer").dataset.key}`;
const sound = makeSound();
let keeps = true;
let state = load();
answer = tankNow();
const clock = makeClock(() => Date.now(), () => performance.now(), state.offset);
let heard = { on: null, second: null };
let asked = null;

// The answers in the page. The tanks of a class night have the steps and the notes in common.
function readAnswers() {
  const given = JSON.parse(by("answer").textContent);
  if (given.tanks === undefined) {
    return { night: null, tanks: [ofTimer(given)] };
  }
  const batches = given.tanks.map((tank) => tank.name);
  const shared = { batches, steps: given.steps, notes: given.notes, entering: given.entering };
  return { night: given, tanks: given.tanks.map((tank) => ofTimer({ ...tank, ...shared })) };
}

// An answer with the numbers that the timer takes.
function ofTimer(given) {
  const law = given.law;
  return {
    ...given,
    law: { energy: law.activation_energy_kj_per_mol.value, reference: law.reference_celsius },
    assumed: law.assumed,
    activity: given.bath_activity,
    target: given.effective_minutes,
    batches: given.batches || [],
    steps: given.steps || [],
  };
}

// The tank that a batch is, or the one answer for all batches.
function tankNow() {
  return tanks[Math.min(state.batch, tanks.length - 1)];
}

// What was kept by an earlier visit, or a beginning.
function load() {
  try {
    const kept = JSON.parse(localStorage.getItem(storageKey));
    if (isState(kept)) {
      const fresh = freshState(answer);
      return { ...fresh, ...kept, settings: { ...fresh.settings, ...kept.settings } };
    }
  } catch {
    keeps = false;
  }
  return freshState(answer);
}

// Keeps the state: a reload goes on from here.
function save() {
  state.offset = clock.offset;
  try {
    localStorage.setItem(storageKey, JSON.stringify(state));
  } catch {
    keeps = false;
  }
}

function setText(id, text) {
  const element = by(id);
  if (element.textContent !== text) {
    element.textContent = text;
  }
}

function show(id, shown) {
  by(id).hidden = !shown;
}

// An element for each text, where they changed.
function elements(id, name, texts) {
  const there = [...by(id).children].map((element) => element.textContent);
  if (there.length === texts.length && there.every((text, n) => text === texts[n])) {
    return;
  }
  const all = texts.map((text) => {
    const element = document.createElement(name);
    element.textContent = text;
    return element;
  });
  by(id).replaceChildren(...all);
}

function items(id, texts) {
  elements(id, "li", texts);
}

function phase() {
  if (state.started === null) {
    return "before";
  }
  if (state.stopped === null) {
    return "developing";
  }
  return state.steps.filter((step) => step.done !== null).length < answer.steps.length
    ? "steps"
    : "end";
}

// What stays while a tank is followed.
function showFixed() {
  document.title = night === null ? answer.pairing : night.session;
  setText("name", night === null ? answer.pairing : `${night.session}: ${answer.pairing}`);
  setText("standing", answer.words.bath || "");
  setText("aim", answer.words.aim);
  show("standing", by("standing").textContent !== "");
  showTank();
  elements("notes", "p", answer.notes);
  show("law-assumed", answer.assumed);
  const known = answer.calibrated_celsius;
  setText(
    "calibrated",
    `The strips were developed at ${degreesOf(answer.unit, known.low)} to ${degreesOf(answer.unit, known.high)}.`,
  );
  const agitation = answer.agitation ? `: ${answer.agitation}` : "";
  setText("as-for-strips", `Agitate as for the strips of the pairing${agitation}.`);
  const step = answer.unit === "fahrenheit" ? "0.2 °F" : "0.1 °C";
  by("celsius").setAttribute("aria-label", `temperature in ${step.slice(-2)}`);
  by("celsius").placeholder = step.slice(-2);
  by("less").setAttribute("aria-label", `${step} less`);
  by("more").setAttribute("aria-label", `${step} more`);
  const today = new Date();
  const day = [today.getFullYear(), today.getMonth() + 1, today.getDate()]
    .map((part) => String(part).padStart(2, "0"))
    .join("-");
  show("other-day", answer.kept && day !== answer.date);
  setText(
    "other-day",
    `This page is for ${answer.date}. The activity of a kept bath changes: make a new page for another day.`,
  );
}

// What this tank is, and what is not as in the tank before.
function showTank() {
  if (night === null) {
    return;
  }
  const differs = answer.differs || [];
  items("whose", [...answer.whose, `developer: ${answer.developer}`]);
  items("differs", differs);
  show("differs-from", differs.length > 0);
}

// The tanks, ticked off: what each had, what comes.
function showTanks(what) {
  if (night === null) {
    return;
  }
  items("tanks", tanks.map((tank, n) => tankRow(tank, n, what)));
}

function tankRow(tank, n, what) {
  const words = `tank ${n + 1}: ${tank.name}`;
  if (n < state.finished.length) {
    return `☑ ${words}, developed ${clockOf(state.finished[n].minutes)}`;
  }
  if (n === state.batch && what === "end") {
    return `☑ ${words}, developed ${clockOf(elapsedMinutes(state, state.stopped))}`;
  }
  return `${n === state.batch ? "▶" : "☐"} ${words}, ${roundedClock(tank.minutes.value)}`;
}

// The figures and what stands about them. Before the start the time is said as the command says it; then
// it is counted down to the second.
function showTime(now) {
  const left = timeLeft(answer, state, now);
  const what = phase();
  const running = what === "developing";
  const over = running && left.toGo < 0;
  setText("label", what === "before" ? "develop for" : over ? "over by" : running ? toGoLabel() : "developed for");
  const stopped = state.stopped !== null ? elapsedMinutes(state, now) : null;
  const counted = `${over ? "+" : ""}${clockOf(left.toGo)}`;
  const drains = state.settings.drain > 0;
  const planned = drains ? clockOf(left.toGo) : roundedClock(left.toGo);
  setText("figures", stopped !== null ? clockOf(stopped) : running ? counted : planned);
  by("figures").classList.toggle("over", over);
  by("figures").classList.toggle("long", by("figures").textContent.length > 5);
  const change = changeByLast(answer, state);
  setText("change", running && change !== null ? `${signedClock(change)} by the last temperature` : "");
  const out = left.takeOut;
  const words = stopped === null ? "out of the bath at" : "it was to be";
  // What is counted down to stands to the second; the rest as the command says it.
  const end = running ? clockOf(out.value) : roundedClock(out.value);
  const [low, high] = [roundedClock(out.low), roundedClock(out.high)];
  setText("interval", `${words} ${end} (95 %: ${low} to ${high})`);
  setText("passed", running ? `${clockOf(elapsedMinutes(state, now))} passed,` : "");
  return left;
}

function toGoLabel() {
  return state.settings.drain > 0 ? "until draining" : "to go";
}

// The temperature, and what can be done with it.
function showTemperature() {
  const celsius = temperatureNow(state);
  setText("now-celsius", degreesOf(answer.unit, celsius));
  const known = answer.calibrated_celsius;
  show("outside", celsius < known.low - 0.5 || celsius > known.high + 0.5);
  const last = state.readings[state.readings.length - 1];
  const undoable = state.stopped === null && state.readings.length > 1;
  show("undo", undoable);
  if (undoable) {
    setText("undo", `Undo ${degreesOf(answer.unit, last.celsius)} at ${clockOf(last.minutes)}`);
  }
  show("heat", state.stopped === null);
}

// The bar of agitation, and its sounds.
function showBeat(now, left) {
  const running = phase() === "developing";
  show("agitation", running);
  if (!running) {
    heard = { on: null, second: null };
    return;
  }
  const beat = beatAt(state.settings, now - state.started);
  setText("beat", beat.on ? "agitate" : "rest");
  by("bar").classList.toggle("on", beat.on);
  by("fill").style.width = `${(100 * Math.min(1, beat.share)).toFixed(1)}%`;
  hear(beat, left);
}

// A tone where agitation begins and ends, and what each second brings.
function hear(beat, left) {
  const before = heard;
  heard = { on: beat.on, second: Math.ceil(left.toGo * 60) };
  if (before.on === null) {
    return;
  }
  if (before.on !== beat.on) {
    soundBeat(beat.on);
  }
  if (before.second !== heard.second) {
    hearSecond(before.second, heard.second);
  }
}

// The last ten seconds, the end, and the voice at each full minute.
function hearSecond(before, second) {
  const ends = before > 0 && second <= 0;
  if (state.settings.sound && second > 0 && second <= 10) {
    sound.tick();
  }
  if (state.settings.sound && ends) {
    sound.end();
  }
  if (state.settings.voice && second > 0 && second % 60 === 0) {
    speak(`${second / 60} minutes`);
  }
  if (state.settings.voice && ends) {
    speak(state.settings.drain > 0 ? "drain" : "take it out");
  }
}

function soundBeat(on) {
  if (state.settings.sound) {
    (on ? sound.agitate : sound.rest)();
  }
}

// The steps after development: what is done, what runs, what comes.
function showSteps(now) {
  const listed = answer.steps.length > 0;
  show("steps-part", listed && state.stopped !== null);
  show("no-steps", !listed && state.stopped !== null);
  if (!listed) {
    return;
  }
  items("steps", answer.steps.map((step, n) => stepRow(step, state.steps[n], now)));
  const open = state.steps.findIndex((step) => step.done === null);
  const next = state.steps.length;
  show("step", phase() === "steps");
  if (open >= 0) {
    setText("step", `Done: ${answer.steps[open].name}`);
  } else if (next < answer.steps.length) {
    setText("step", `Begin: ${answer.steps[next].name}`);
  }
}

// One line of the list of steps.
function stepRow(step, kept, now) {
  const time = clockOf(step.seconds / 60);
  if (kept === undefined) {
    return `☐ ${step.name} ${time}, ${step.how}`;
  }
  if (kept.done !== null) {
    return `☑ ${step.name}, ${clockOf((kept.done - kept.begun) / MINUTE)} of ${time}`;
  }
  const left = step.seconds / 60 - (now - kept.begun) / MINUTE;
  return `▶ ${step.name}: ${left < 0 ? `over by ${clockOf(left)}` : `${clockOf(left)} to go`}, ${step.how}`;
}

// The end: what to enter in the journal, and the log.
function showEnd() {
  const ended = phase() === "end";
  show("end", ended);
  if (!ended) {
    return;
  }
  const more = state.batch + 1 < answer.batches.length;
  show("next", more);
  setText("next", `Next: ${oneOf()} ${state.batch + 2} of ${answer.batches.length}`);
  show("again", !more);
  const readings = closedReadings(state);
  by("log").value = logAsCsv(readings);
  showLogFiles(readings);
  show("rolls-part", answer.entering.length > 1);
  by("entry").value = entryLine(readings);
  ["log", "entry"].forEach(fit);
  const had = effectiveMinutes(answer.law, readings, answer.activity.value);
  setText("had", `The film had ${had.toFixed(2)} of ${answer.target.value.toFixed(2)} effective minutes.`);
}

// A field as high as its text, as far as half of the screen goes.
function fit(id) {
  const field = by(id);
  field.style.height = "auto";
  field.style.height = `${Math.min(field.scrollHeight + 4, window.innerHeight / 2)}px`;
}

// What follows each other.
function oneOf() {
  return night === null ? "batch" : "tank";
}

// A link for the log of each batch so far.
function showLogFiles(readings) {
  const logs = [...state.finished.map((batch) => batch.readings), readings].map(logAsCsv);
  const links = logs.map((csv, n) => {
    const link = document.createElement("a");
    const name = answer.batches.length > 0 ? `temperatures-${n + 1}.csv` : "temperatures.csv";
    link.className = "button";
    link.href = "#log";
    link.download = name;
    link.dataset.csv = csv;
    link.textContent = `Save ${name}`;
    link.addEventListener("click", onLogFile);
    return link;
  });
  by("log-files").replaceChildren(...links);
}

// What a development was, in words.
function remarkOf(readings, minutes) {
  const degrees = readings.map((r) => r.celsius);
  const [low, high] = [Math.min(...degrees), Math.max(...degrees)];
  const at = low === high ? degreesOf("celsius", low) : `${low.toFixed(1)} to ${degreesOf("celsius", high)}`;
  return `developed ${clockOf(minutes)} at ${at}`;
}

// The lines of a class night: what each tank had; after the last one, the command that enters all.
function nightLines(readings) {
  const minutes = elapsedMinutes(state, state.stopped);
  const done = [...state.finished, { readings, minutes }];
  const lines = done.map((had, n) => {
    const remark = remarkOf(had.readings, had.minutes);
    return `${answer.date}, tank ${n + 1}, ${tanks[n].entry}: ${remark}`;
  });
  return [...lines, ...(done.length === tanks.length ? answer.entering : [])].join("\n");
}

// The line for the journal: a command where there is one, else words.
function entryLine(readings) {
  if (night !== null) {
    return nightLines(readings);
  }
  const remark = remarkOf(readings, elapsedMinutes(state, state.stopped));
  const pieces = answer.entering;
  if (pieces.length === 1) {
    return pieces[0];
  }
  if (pieces.length === 3) {
    const rolls = /^[1-9][0-9]{0,2}$/.test(by("rolls").value.trim()) ? by("rolls").value.trim() : "1";
    return `${pieces[0]}${rolls}${pieces[1]}${remark}${pieces[2]}`;
  }
  return `${answer.date}, ${answer.pairing}: ${remark}`;
}

// What the person should know about the device.
function showDevice() {
  show("keeps-nothing", !keeps);
  show("clock-moved", clock.moved !== 0);
  const forward = clock.moved > 0;
  const seconds = Math.round(Math.abs(clock.moved) / SECOND);
  setText(
    "clock-moved",
    forward
      ? `The clock of this device went ${seconds} s forward: it slept, or was set. Compare with a watch.`
      : `The clock of this device was set ${seconds} s back; that is allowed for.`,
  );
}

function render() {
  const now = clock.now();
  const what = phase();
  document.body.dataset.phase = what;
  document.documentElement.dataset.dim = String(state.settings.dim);
  by("pour").disabled = what !== "before";
  show("start", what === "before");
  show("stop", what === "developing");
  show("batch", answer.batches.length > 0);
  if (answer.batches.length > 0) {
    const films = answer.batches[state.batch] || "";
    setText("batch", `${oneOf()} ${state.batch + 1} of ${answer.batches.length}: ${films}`);
  }
  show("silent", what === "developing" && state.settings.sound && !sound.isAwake());
  const left = showTime(now);
  showTemperature();
  showBeat(now, left);
  showSteps(now);
  show("tank", night !== null && what === "before");
  show("tanks", night !== null && (what === "before" || what === "end"));
  showTanks(what);
  showDevice();
  show("ask", asked !== null);
}

// What a tap does: acts, keeps, shows.
function tap(act) {
  act(clock.now());
  save();
  render();
  showEnd();
}

function onStart() {
  sound.wake(); // browsers let it begin in a tap only
  if (state.settings.sound) {
    sound.test();
  }
  keepScreenOn();
  tap((now) => start(state, now));
}

// A temperature that was typed; one that is far away is asked about.
function onTyped() {
  const field = by("celsius");
  const celsius = typedCelsius(answer.unit, field.value);
  const possible = answer.possible_celsius;
  const fits = celsius !== null && celsius >= possible.low && celsius <= possible.high;
  show("not-taken", !fits);
  if (!fits) {
    return;
  }
  field.value = "";
  if (isJump(state, celsius)) {
    asked = celsius;
    setText(
      "ask-text",
      `${degreesOf(answer.unit, celsius)} is ${Math.abs(celsius - temperatureNow(state)).toFixed(1)} °C from the last temperature. Is it right?`,
    );
    render();
    by("ask-no").focus();
    return;
  }
  tap((now) => enterTemperature(state, celsius, now));
}

function onAsked(yes) {
  const celsius = asked;
  asked = null;
  if (yes) {
    tap((now) => enterTemperature(state, celsius, now));
  }
  render();
  by("celsius").focus();
}

function onTap(sign) {
  const step = answer.unit === "fahrenheit" ? ONE_TAP / 0.9 : ONE_TAP;
  const possible = answer.possible_celsius;
  const celsius = temperatureNow(state) + sign * step;
  if (celsius >= possible.low && celsius <= possible.high) {
    tap((now) => tapTemperature(state, sign * step, now));
  }
}

// The next batch, or the next tank: one in another bath begins at the temperature of that.
function onNext() {
  tap(() => {
    const before = answer;
    nextBatch(state);
    answer = tankNow();
    if (answer.developer !== before.developer) {
      state.celsius = answer.celsius;
    }
    showFixed();
  });
  by("start").focus();
  window.scrollTo(0, 0);
}

// Copies a text, or selects it where the browser does not let it be copied.
async function copy(id) {
  const field = by(id);
  field.select();
  try {
    await navigator.clipboard.writeText(field.value);
    setText("copied", "copied");
  } catch {
    setText("copied", "selected: copy it");
  }
}

// A file of the log, made in the page.
function onLogFile(event) {
  const link = event.currentTarget;
  const blob = new Blob([link.dataset.csv], { type: "text/csv" });
  link.href = URL.createObjectURL(blob);
  setTimeout(() => URL.revokeObjectURL(link.href), MINUTE);
}

const SECONDS = ["drain", "pour", "first", "each", "every"];

function showSettings() {
  SECONDS.forEach((name) => {
    by(name).value = String(state.settings[name]);
  });
  by("sound").checked = state.settings.sound;
  by("voice").checked = state.settings.voice;
}

// A setting of seconds: a whole number from 0 to 600.
function onSeconds(name) {
  const text = by(name).value.trim();
  const late = name === "pour" && state.started !== null;
  if (!late && /^[0-9]{1,3}$/.test(text) && Number(text) <= 600) {
    tap(() => {
      state.settings[name] = Number(text);
    });
  }
  showSettings();
}

function onClick(id, act) {
  by(id).addEventListener("click", act);
}

function listen() {
  onClick("start", onStart);
  onClick("less", () => onTap(-1));
  onClick("more", () => onTap(1));
  onClick("enter", onTyped);
  onClick("undo", () => tap(() => undoReading(state)));
  onClick("ask-yes", () => onAsked(true));
  onClick("ask-no", () => onAsked(false));
  onClick("step", () => tap((now) => tapStep(state, now)));
  onClick("next", onNext);
  onClick("copy-entry", () => copy("entry"));
  onClick("copy-log", () => copy("log"));
  onClick("test-sound", () => {
    sound.wake();
    sound.test();
  });
  onClick("dimmer", () => tap(() => changeDim(1)));
  onClick("brighter", () => tap(() => changeDim(-1)));
  onClick("cover", () => {
    show("covered", true);
    by("uncover").focus();
  });
  by("rolls").addEventListener("input", showEnd);
  holdButton(by("stop"), HOLD, () => tap((now) => stop(state, now)));
  holdButton(by("again"), HOLD, () => tap(beginAgain));
  holdButton(by("uncover"), HOLD, () => {
    show("covered", false);
    by("cover").focus();
  });
  by("celsius").addEventListener("keydown", (event) => {
    if (event.key === "Enter") {
      // Else the same key would press the button that gets the focus.
      event.preventDefault();
      onTyped();
    }
  });
  SECONDS.forEach((name) => by(name).addEventListener("change", () => onSeconds(name)));
  ["sound", "voice"].forEach((name) =>
    by(name).addEventListener("change", () =>
      tap(() => {
        state.settings[name] = by(name).checked;
      }),
    ),
  );
  document.addEventListener("keydown", onKey);
  // After a reload, sound begins with the first tap.
  ["pointerdown", "keydown"].forEach((name) => document.addEventListener(name, sound.wake));
}

// + and - change the temperature from anywhere but a field.
function onKey(event) {
  if (event.target instanceof HTMLInputElement || event.target instanceof HTMLTextAreaElement) {
    return;
  }
  if (asked !== null && event.key === "Escape") {
    onAsked(false);
  } else if (state.stopped === null && asked === null && by("covered").hidden) {
    if (event.key === "+" || event.key === "-") {
      onTap(event.key === "+" ? 1 : -1);
    }
  }
}

function changeDim(steps) {
  state.settings.dim = Math.max(0, Math.min(DIMS - 1, state.settings.dim + steps));
}

// A new development with the same settings.
function beginAgain() {
  const celsius = night === null ? temperatureNow(state) : tanks[0].celsius;
  state = { ...freshState(tanks[0]), celsius, settings: state.settings };
  answer = tankNow();
  showFixed();
}

const keepScreenOn = makeWakeLock((works) => show("sleeps", !works));

showFixed();
showSettings();
listen();
render();
showEnd();
if (phase() === "developing") {
  keepScreenOn();
}
setInterval(render, 100);
