// The folder of files that is kept on the device, in IndexedDB.
//
// Whatever changes it has a lock over all windows of the page, and is one transaction: all of it or
// nothing. Other windows hear which files have changed.

/** What the device refused, in one plain sentence. Nothing that was kept before is lost. */
export class NotKept extends Error {
  constructor(message, cause) {
    super(message, { cause });
    this.name = 'NotKept';
  }
}

const FILES = 'files';
const LONGEST_NAME = 200;

/** The name as the folder keeps it, `data/strip.csv`; throws where it is no name in a folder. */
export function checkedName(name) {
  const clean = name.normalize('NFC').replaceAll('\\', '/');
  const parts = clean.split('/');
  const refused = (part) => ['', '.', '..', '__proto__'].includes(part) || /^\s|\s$|[\u0000-\u001f\u007f:]/u.test(part);
  if (clean.length > LONGEST_NAME) throw new NotKept(`The name of this file is longer than ${LONGEST_NAME} letters. Give it a shorter one.`);
  if (parts.some(refused)) throw new NotKept(`“${visible(name)}” is no name for a file in this folder. Give it another one.`);
  return clean;
}

/** A name with letters in the place of those that cannot be seen. */
function visible(name) {
  return name.slice(0, 80).replaceAll(/[\u0000-\u001f\u007f\u200e\u200f\u202a-\u202e\u2066-\u2069]/gu, '�');
}

/** The result of a request of IndexedDB. */
function result(request) {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

function worded(error) {
  if (error instanceof NotKept) return error;
  switch (error?.name) {
    case 'QuotaExceededError':
      return new NotKept('There is no room left on this device for this change. Nothing was changed. Save the files, make room, and do it again.', error);
    case 'InvalidStateError':
    case 'SecurityError':
    case 'UnknownError':
    case 'NotFoundError':
      return new NotKept('This browser does not keep files for this page, maybe because its window is private. Save the files before you close it.', error);
    default:
      return new NotKept(`The files could not be kept on this device (${error?.message || error}). Nothing was changed.`, error);
  }
}

export class Folder {
  #database;
  #name;
  #channel = null;
  #tail = Promise.resolve();

  /** Is called with the names that another window changed. */
  onchange = null;

  /**
   * Opens the folder of this name; it is made where there is none.
   *
   * @param {string} name
   * @returns {Promise<Folder>}
   * @throws {NotKept}
   */
  static async open(name) {
    const folder = new Folder();
    folder.#name = `wedgebook-${name}`;
    try {
      const request = indexedDB.open(folder.#name, 1);
      request.onupgradeneeded = () => request.result.createObjectStore(FILES);
      folder.#database = await result(request);
    } catch (error) {
      throw worded(error);
    }
    // Another window may need a newer form of it; this one then reads it anew when it is next asked.
    folder.#database.onversionchange = () => folder.#database.close();
    if (typeof BroadcastChannel === 'function') {
      folder.#channel = new BroadcastChannel(folder.#name);
      folder.#channel.onmessage = ({ data }) => folder.onchange?.(data);
    }
    return folder;
  }

  /** The names of its files, in the order of the alphabet. */
  async names() {
    return this.#look((files) => result(files.getAllKeys()));
  }

  /** The bytes of a file, or null where there is none of this name. */
  async read(name) {
    return (await this.#look((files) => result(files.get(name)))) ?? null;
  }

  /** All files by their names. */
  async all() {
    return this.#look(async (files) => {
      // Both are asked for before either is waited for: a transaction ends when nothing is asked of it.
      const [names, contents] = await Promise.all([result(files.getAllKeys()), result(files.getAll())]);
      return new Map(names.map((name, index) => [name, contents[index]]));
    });
  }

  /** Writes a file, in the place of one of this name. */
  async write(name, bytes) {
    return this.change(new Map([[checkedName(name), bytes]]));
  }

  /** Removes a file. */
  async remove(name) {
    return this.change(new Map([[name, null]]));
  }

  /** Writes files, and removes those whose bytes are null: all of them or none. */
  async change(files) {
    return this.#locked(() => this.#put(files));
  }

  /**
   * Asks the program about the files of this folder, and keeps what it wrote.
   *
   * @param {import('./core.js').Core} core
   * @param {string[]} args
   * @param {{stdin?: string, today?: string, width?: number, more?: Map<string, Uint8Array>}} options
   *   `more`: files that are there for this question only
   * @returns {Promise<{status: number, out: string, err: string, files: Map<string, Uint8Array|null>}>}
   * @throws {NotKept} what it wrote could not be kept, and the folder is as before; the answer is its
   *   `answer`, so that it can be saved in another way
   */
  async ask(core, args, { more = new Map(), ...options } = {}) {
    return this.#locked(async () => {
      const files = await this.all();
      for (const [name, bytes] of more) files.set(name, bytes);
      const answer = await core.ask(files, args, options);
      for (const name of more.keys()) answer.files.delete(name);
      try {
        await this.#put(answer.files);
      } catch (error) {
        throw Object.assign(error, { answer });
      }
      return answer;
    });
  }

  /**
   * How safely the files are kept: `kept` where the browser has promised to keep them; `may_be_cleared`
   * where it may clear them when room is short; `file` for a page opened as a bare file, whose storage
   * some browsers clear or share; `room` is how many bytes are left, where the browser says so.
   */
  async standing() {
    const storage = globalThis.navigator?.storage;
    let kept = false, room = null;
    try {
      kept = (await storage?.persisted?.()) || (await storage?.persist?.()) || false;
      const { quota, usage } = (await storage?.estimate?.()) ?? {};
      if (quota !== undefined) room = Math.max(0, quota - (usage ?? 0));
    } catch {
      // A page without an address of its own is not asked about it.
    }
    const file = globalThis.location?.protocol === 'file:';
    return { state: kept && !file ? 'kept' : file ? 'file' : 'may_be_cleared', kept, file, room };
  }

  close() {
    this.#channel?.close();
    this.#database.close();
  }

  /** One after the other, in this window and in all others. */
  #locked(work) {
    const locks = globalThis.navigator?.locks;
    if (locks) return locks.request(this.#name, work);
    const next = this.#tail.then(work);
    this.#tail = next.catch(() => {});
    return next;
  }

  async #look(work) {
    try {
      return await work(this.#database.transaction(FILES).objectStore(FILES));
    } catch (error) {
      throw worded(error);
    }
  }

  async #put(changes) {
    if (changes.size === 0) return;
    try {
      const transaction = this.#database.transaction(FILES, 'readwrite', { durability: 'strict' });
      const done = new Promise((resolve, reject) => {
        transaction.oncomplete = resolve;
        transaction.onabort = () => reject(transaction.error);
      });
      // Where a request is refused, the whole transaction is undone.
      const files = transaction.objectStore(FILES);
      try {
        for (const [name, bytes] of changes) {
          if (bytes === null) files.delete(name);
          else files.put(bytes, name);
        }
      } catch (error) {
        transaction.abort();
        await done.catch(() => {});
        throw error;
      }
      await done;
    } catch (error) {
      throw worded(error);
    }
    this.#channel?.postMessage([...changes.keys()]);
  }
}
