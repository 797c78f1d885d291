// What was typed and is in no file yet. It outlives a reload of this window; a new window begins with the
// same usual values, and with nothing else of another window.

const KEY = 'wedgebook-typed:';

/** Storage that may be refused: then what was typed lasts as long as the window. */
function read(storage, key) {
  try {
    const kept = JSON.parse(globalThis[storage].getItem(key));
    return kept !== null && typeof kept === 'object' && !Array.isArray(kept) ? kept : {};
  } catch {
    return {};
  }
}

function write(storage, key, value) {
  try {
    globalThis[storage].setItem(key, JSON.stringify(value));
  } catch {
    // Said once, with the standing of the folder.
  }
}

const open = new Map();

/**
 * What was typed on a screen.
 *
 * @param {string} screen
 * @param {object} fresh the values of one that was never filled in
 * @param {string[]} usual the values that a new window begins with
 * @returns {{value: object, save: () => void, clear: (names: string[]) => void}}
 */
export function draft(screen, fresh, usual = []) {
  if (open.has(screen)) return open.get(screen);
  const key = KEY + screen;
  const before = read('localStorage', key);
  const known = Object.fromEntries(usual.filter((name) => name in before).map((name) => [name, before[name]]));
  const value = structuredClone(fresh);
  for (const [name, kept] of Object.entries({ ...known, ...read('sessionStorage', key) })) {
    // A value of another kind was kept by something else.
    const same = typeof kept === typeof fresh[name] && Array.isArray(kept) === Array.isArray(fresh[name]);
    if (name in fresh && (same || fresh[name] === null)) value[name] = kept;
  }
  const it = {
    value,
    save() {
      write('sessionStorage', key, value);
      write('localStorage', key, Object.fromEntries(usual.map((name) => [name, value[name]])));
    },
    clear(names) {
      for (const name of names) value[name] = structuredClone(fresh[name]);
      it.save();
    },
  };
  open.set(screen, it);
  return it;
}
