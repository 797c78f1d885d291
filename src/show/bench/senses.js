// Sound, voice, and the screen that stays on.

// A maker of tones. Browsers let sound begin in a tap only: `wake` belongs there.
function makeSound() {
  const Context = window.AudioContext || window.webkitAudioContext;
  let context = null;
  const sound = {};
  sound.wake = () => {
    if (Context !== undefined && context === null) {
      context = new Context();
    }
    if (context !== null && context.state === "suspended") {
      context.resume().catch(() => {});
    }
  };
  sound.isAwake = () => context !== null && context.state === "running";
  // A tone of so many hertz, some seconds from now.
  sound.tone = (hertz, seconds, after = 0) => {
    if (context === null) {
      return;
    }
    const [oscillator, gain] = [context.createOscillator(), context.createGain()];
    const at = context.currentTime + after;
    oscillator.frequency.value = hertz;
    gain.gain.setValueAtTime(0.0001, at);
    gain.gain.exponentialRampToValueAtTime(0.4, at + 0.02);
    gain.gain.exponentialRampToValueAtTime(0.0001, at + seconds);
    oscillator.connect(gain).connect(context.destination);
    oscillator.start(at);
    oscillator.stop(at + seconds);
  };
  sound.test = () => sound.tone(660, 0.3);
  sound.agitate = () => sound.tone(880, 0.25);
  sound.rest = () => sound.tone(440, 0.15);
  sound.tick = () => sound.tone(660, 0.08);
  sound.end = () => [0, 0.5, 1].forEach((after) => sound.tone(990, 0.4, after));
  return sound;
}

// Says some words, where the browser has a voice.
function speak(words) {
  if ("speechSynthesis" in window) {
    window.speechSynthesis.speak(new SpeechSynthesisUtterance(words));
  }
}

// Keeps the screen on while a development runs; `report` gets whether it could.
function makeWakeLock(report) {
  let wanted = false;
  const ask = async () => {
    if (!wanted || document.visibilityState !== "visible") {
      return;
    }
    try {
      if (navigator.wakeLock === undefined) {
        throw new Error("none");
      }
      await navigator.wakeLock.request("screen");
      report(true);
    } catch {
      report(false);
    }
  };
  document.addEventListener("visibilitychange", ask);
  return () => {
    wanted = true;
    ask();
  };
}

// A button that acts only when it is held, by a finger, the mouse or the keyboard.
function holdButton(button, milliseconds, act) {
  let timer = null;
  const release = () => {
    clearTimeout(timer);
    timer = null;
    button.classList.remove("held");
  };
  const hold = () => {
    if (timer !== null) {
      return;
    }
    button.classList.add("held");
    timer = setTimeout(() => {
      release();
      act();
    }, milliseconds);
  };
  button.addEventListener("pointerdown", hold);
  ["pointerup", "pointerleave", "pointercancel", "blur", "keyup"].forEach((name) =>
    button.addEventListener(name, release),
  );
  button.addEventListener("keydown", (event) => {
    if (event.key === "Enter" || event.key === " ") {
      event.preventDefault();
      hold();
    }
  });
  button.addEventListener("contextmenu", (event) => event.preventDefault());
}
