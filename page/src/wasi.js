// The system calls of WASI preview 1 over a folder in memory: what the program needs to run in a page.
//
// There is one folder, which is both `.` and `/`, without links and without permissions. Nothing leaves
// the page: no call reaches a disk, a clock but the device's, or a network.

const SUCCESS = 0, BADF = 8, BUSY = 10, EXIST = 20, INVAL = 28, ISDIR = 31, NOENT = 44, NOSYS = 52;
const NOTDIR = 54, NOTEMPTY = 55, NOTSUP = 58, SPIPE = 70, NOTCAPABLE = 76;
const UNKNOWN = 0, DIRECTORY = 3, REGULAR = 4;
const CREATE = 1, ONLY_DIRECTORY = 2, EXCLUSIVE = 4, TRUNCATE = 8;
const APPEND = 1;
const READ = 1n << 1n, WRITE = 1n << 6n;

const encoder = new TextEncoder();
// A byte order mark is part of a file's name or text, not a sign to be taken away.
const decoder = new TextDecoder('utf-8', { ignoreBOM: true });

/** The program has ended. */
class Exit extends Error {
  constructor(status) {
    super(`exit ${status}`);
    this.status = status;
  }
}

/** A system call that is answered by an error's number. It is no Error: it is usual, and needs no trace. */
class Refused {
  constructor(errno) {
    this.errno = errno;
  }
}

function refuse(errno) {
  throw new Refused(errno);
}

let lastNode = 0n;

class FileNode {
  type = REGULAR;
  number = ++lastNode;

  /** The bytes are not copied before they are changed: they may belong to whoever asked. */
  constructor(bytes = new Uint8Array()) {
    this.store = bytes;
    this.size = bytes.length;
    this.own = false;
  }

  get bytes() {
    return this.store.subarray(0, this.size);
  }

  resize(size) {
    if (!this.own || size > this.store.length) {
      const room = size > this.size ? Math.max(size, 2 * this.size) : size;
      const store = new Uint8Array(room);
      store.set(this.bytes.subarray(0, Math.min(this.size, size)));
      this.store = store;
      this.own = true;
    } else if (size > this.size) {
      this.store.fill(0, this.size, size);
    }
    this.size = size;
  }

  write(at, bytes) {
    this.resize(Math.max(this.size, at + bytes.length));
    this.store.set(bytes, at);
  }
}

class FolderNode {
  type = DIRECTORY;
  number = ++lastNode;
  entries = new Map();
  size = 0;
}

/** A folder tree of files by their relative names, `data/strip.csv`. */
function treeOf(files) {
  const root = new FolderNode();
  for (const [name, bytes] of files) {
    const parts = name.split('/');
    if (parts.some((part) => part === '' || part === '.' || part === '..' || part.includes('\0'))) {
      throw new TypeError(`not a name in a folder: ${name}`);
    }
    let folder = root;
    for (const part of parts.slice(0, -1)) {
      const next = folder.entries.get(part) ?? new FolderNode();
      if (!(next instanceof FolderNode)) throw new TypeError(`a file is where a folder must be: ${name}`);
      folder.entries.set(part, next);
      folder = next;
    }
    const last = parts.at(-1);
    if (folder.entries.has(last)) throw new TypeError(`a name that is there twice: ${name}`);
    folder.entries.set(last, new FileNode(bytes));
  }
  return root;
}

function* filesOf(folder, before = '') {
  for (const [name, node] of folder.entries) {
    if (node instanceof FolderNode) yield* filesOf(node, `${before}${name}/`);
    else yield [before + name, node];
  }
}

/** Where a path leads: the folder, the name in it, and what is there. */
function find(start, path) {
  const trail = [start];
  const parts = path.split('/').filter((part) => part !== '' && part !== '.');
  const folderOnly = path.endsWith('/') || path.endsWith('/.');
  let name = null;
  let node = start;
  for (const [index, part] of parts.entries()) {
    if (!(node instanceof FolderNode)) refuse(node === undefined ? NOENT : NOTDIR);
    if (part === '..') {
      if (trail.length === 1) refuse(NOTCAPABLE);
      trail.pop();
      node = trail.at(-1);
      name = null;
      continue;
    }
    const next = node.entries.get(part);
    name = part;
    if (index === parts.length - 1) {
      if (next instanceof FileNode && folderOnly) refuse(NOTDIR);
      return { parent: node, name, node: next };
    }
    trail.push(next);
    node = next;
  }
  if (node === undefined) refuse(NOENT);
  return { parent: null, name, node };
}

/**
 * Runs a compiled module once, in an instance of its own.
 *
 * @param {WebAssembly.Module} module the program
 * @param {Map<string, Uint8Array>} files the folder, by relative names
 * @param {string[]} args the command line without the program's name
 * @param {{stdin?: string, env?: Record<string, string>, clock?: () => bigint}} options
 *   the clock gives nanoseconds since 1970
 * @returns {{status: number, out: string, err: string, files: Map<string, Uint8Array|null>}}
 *   `files` holds those that were written, and null for those that were removed
 * @throws {{broken: true, err: string}} where the program stopped in a state that must not be
 */
export function run(module, files, args, { stdin = '', env = {}, clock = () => BigInt(Date.now()) * 1000000n } = {}) {
  const root = treeOf(files);
  const before = new Map([...filesOf(root)].map(([name, node]) => [name, node]));
  const out = [], err = [];
  const input = { bytes: encoder.encode(stdin), at: 0 };
  const open = [
    { input },
    { sink: out },
    { sink: err },
    { node: root, preopened: '.' },
    { node: root, preopened: '/' },
  ];
  let memory;
  const view = () => new DataView(memory.buffer);
  const bytesAt = (at, length) => new Uint8Array(memory.buffer, at, length);
  const textAt = (at, length) => decoder.decode(bytesAt(at, length));

  const handle = (fd) => open[fd] ?? refuse(BADF);
  const fileOf = (fd) => {
    const it = handle(fd);
    if (it.node instanceof FolderNode) refuse(ISDIR);
    return it.node ? it : refuse(SPIPE);
  };
  const folderOf = (fd) => {
    const { node } = handle(fd);
    return node instanceof FolderNode ? node : refuse(NOTDIR);
  };
  const writable = (it) => (it.mayWrite ? it : refuse(BADF));
  const at = (fd, path, length) => find(folderOf(fd), textAt(path, length));
  const vectors = (pointer, count) => {
    const data = view();
    return Array.from({ length: count }, (_, i) =>
      bytesAt(data.getUint32(pointer + 8 * i, true), data.getUint32(pointer + 8 * i + 4, true)));
  };
  const total = (parts) => parts.reduce((sum, part) => sum + part.length, 0);

  function putStrings(strings, pointers, buffer) {
    for (const text of strings) {
      const bytes = encoder.encode(`${text}\0`);
      view().setUint32(pointers, buffer, true);
      bytesAt(buffer, bytes.length).set(bytes);
      pointers += 4;
      buffer += bytes.length;
    }
  }
  function putSizes(strings, count, size) {
    view().setUint32(count, strings.length, true);
    view().setUint32(size, total(strings.map((text) => encoder.encode(`${text}\0`))), true);
  }
  function putFileStat(node, pointer) {
    const data = view();
    bytesAt(pointer, 64).fill(0);
    data.setBigUint64(pointer, 1n, true);
    data.setBigUint64(pointer + 8, node?.number ?? 0n, true);
    data.setUint8(pointer + 16, node?.type ?? UNKNOWN);
    data.setBigUint64(pointer + 24, 1n, true);
    data.setBigUint64(pointer + 32, BigInt(node?.size ?? 0), true);
    for (const time of [40, 48, 56]) data.setBigUint64(pointer + time, clock(), true);
  }
  function readFrom(source, position, parts) {
    let done = 0;
    for (const part of parts) {
      const piece = source.subarray(position + done, position + done + part.length);
      part.set(piece);
      done += piece.length;
      if (piece.length < part.length) break;
    }
    return done;
  }

  const programArgs = ['wedgebook', ...args];
  const environment = Object.entries(env).map(([name, value]) => `${name}=${value}`);
  const calls = {
    args_get: (pointers, buffer) => putStrings(programArgs, pointers, buffer),
    args_sizes_get: (count, size) => putSizes(programArgs, count, size),
    environ_get: (pointers, buffer) => putStrings(environment, pointers, buffer),
    environ_sizes_get: (count, size) => putSizes(environment, count, size),
    clock_res_get: (_, result) => view().setBigUint64(result, 1000000n, true),
    clock_time_get: (_id, _precision, result) => view().setBigUint64(result, clock(), true),
    random_get: (buffer, length) => {
      for (let from = 0; from < length; from += 65536) {
        // Random bytes are not got into memory that a module has: by way of a copy.
        const bytes = crypto.getRandomValues(new Uint8Array(Math.min(65536, length - from)));
        bytesAt(buffer + from, bytes.length).set(bytes);
      }
    },
    sched_yield: () => {},
    // No other program has a lock here, so that nothing is waited for.
    poll_oneoff: () => refuse(NOTSUP),
    proc_exit: (status) => {
      throw new Exit(status);
    },

    fd_advise: (fd) => void handle(fd),
    fd_allocate: () => refuse(NOTSUP),
    fd_close: (fd) => {
      handle(fd);
      open[fd] = undefined;
    },
    fd_datasync: (fd) => void handle(fd),
    fd_sync: (fd) => void handle(fd),
    fd_fdstat_get: (fd, pointer) => {
      const it = handle(fd);
      bytesAt(pointer, 24).fill(0);
      view().setUint8(pointer, it.node?.type ?? UNKNOWN);
      view().setUint16(pointer + 2, it.append ? APPEND : 0, true);
      view().setBigUint64(pointer + 8, ~0n & 0x1fffffffn, true);
      view().setBigUint64(pointer + 16, ~0n & 0x1fffffffn, true);
    },
    fd_fdstat_set_flags: (fd, flags) => {
      handle(fd).append = (flags & APPEND) !== 0;
    },
    fd_filestat_get: (fd, pointer) => putFileStat(handle(fd).node, pointer),
    fd_filestat_set_size: (fd, size) => writable(fileOf(fd)).node.resize(Number(size)),
    fd_filestat_set_times: (fd) => void handle(fd),
    fd_prestat_get: (fd, pointer) => {
      const { preopened } = handle(fd);
      if (preopened === undefined) refuse(BADF);
      view().setUint32(pointer, 0, true);
      view().setUint32(pointer + 4, preopened.length, true);
    },
    fd_prestat_dir_name: (fd, pointer, length) => {
      const { preopened } = handle(fd);
      if (preopened === undefined) refuse(BADF);
      bytesAt(pointer, length).set(encoder.encode(preopened).subarray(0, length));
    },
    fd_read: (fd, pointer, count, result) => {
      const it = handle(fd);
      const source = it.input ?? fileOf(fd);
      const read = readFrom(it.input ? it.input.bytes : source.node.bytes, source.at, vectors(pointer, count));
      source.at += read;
      view().setUint32(result, read, true);
    },
    fd_pread: (fd, pointer, count, offset, result) => {
      const { node } = fileOf(fd);
      view().setUint32(result, readFrom(node.bytes, Number(offset), vectors(pointer, count)), true);
    },
    fd_write: (fd, pointer, count, result) => {
      const it = handle(fd);
      const parts = vectors(pointer, count);
      if (it.sink) {
        it.sink.push(...parts.map((part) => part.slice()));
      } else {
        writable(fileOf(fd));
        if (it.append) it.at = it.node.size;
        for (const part of parts) {
          it.node.write(it.at, part);
          it.at += part.length;
        }
      }
      view().setUint32(result, total(parts), true);
    },
    fd_pwrite: (fd, pointer, count, offset, result) => {
      const { node } = writable(fileOf(fd));
      const parts = vectors(pointer, count);
      let position = Number(offset);
      for (const part of parts) {
        node.write(position, part);
        position += part.length;
      }
      view().setUint32(result, total(parts), true);
    },
    fd_seek: (fd, offset, whence, result) => {
      const it = fileOf(fd);
      const from = [0, it.at, it.node.size][whence] ?? refuse(INVAL);
      const to = from + Number(offset);
      if (to < 0) refuse(INVAL);
      it.at = to;
      view().setBigUint64(result, BigInt(to), true);
    },
    fd_tell: (fd, result) => view().setBigUint64(result, BigInt(fileOf(fd).at), true),
    fd_readdir: (fd, buffer, length, cookie, result) => {
      const folder = folderOf(fd);
      const list = [['.', folder], ['..', folder], ...folder.entries];
      let used = 0;
      for (const [index, [name, node]] of list.entries()) {
        if (index < Number(cookie)) continue;
        const bytes = encoder.encode(name);
        const entry = new Uint8Array(24 + bytes.length);
        const data = new DataView(entry.buffer);
        data.setBigUint64(0, BigInt(index + 1), true);
        data.setBigUint64(8, node.number, true);
        data.setUint32(16, bytes.length, true);
        data.setUint8(20, node.type);
        entry.set(bytes, 24);
        const piece = entry.subarray(0, length - used);
        bytesAt(buffer + used, piece.length).set(piece);
        used += piece.length;
        if (used === length) break;
      }
      view().setUint32(result, used, true);
    },

    path_create_directory: (fd, path, length) => {
      const { parent, name, node } = at(fd, path, length);
      if (node || !parent) refuse(EXIST);
      parent.entries.set(name, new FolderNode());
    },
    path_filestat_get: (fd, _flags, path, length, pointer) =>
      putFileStat(at(fd, path, length).node ?? refuse(NOENT), pointer),
    path_filestat_set_times: (fd, _flags, path, length) => void (at(fd, path, length).node ?? refuse(NOENT)),
    path_link: (fromFd, _flags, from, fromLength, toFd, to, toLength) => {
      const { node } = at(fromFd, from, fromLength);
      if (!(node instanceof FileNode)) refuse(node ? NOTSUP : NOENT);
      const target = at(toFd, to, toLength);
      if (target.node || !target.parent) refuse(EXIST);
      target.parent.entries.set(target.name, node);
    },
    path_open: (fd, _dirflags, path, length, oflags, rights, _inheriting, flags, result) => {
      const { parent, name, node: there } = at(fd, path, length);
      let node = there;
      const mayWrite = (rights & WRITE) !== 0n;
      if (node && oflags & CREATE && oflags & EXCLUSIVE) refuse(EXIST);
      if (node instanceof FileNode && oflags & ONLY_DIRECTORY) refuse(NOTDIR);
      if (node instanceof FolderNode && (mayWrite || oflags & TRUNCATE)) refuse(ISDIR);
      if (!node) {
        if (!(oflags & CREATE)) refuse(NOENT);
        if (oflags & ONLY_DIRECTORY || textAt(path, length).endsWith('/')) refuse(INVAL);
        node = new FileNode();
        parent.entries.set(name, node);
      } else if (oflags & TRUNCATE) {
        node.resize(0);
      }
      open.push({ node, at: 0, mayWrite, mayRead: (rights & READ) !== 0n, append: (flags & APPEND) !== 0 });
      view().setUint32(result, open.length - 1, true);
    },
    path_readlink: (fd, path, length) => refuse(at(fd, path, length).node ? INVAL : NOENT),
    path_remove_directory: (fd, path, length) => {
      const { parent, name, node } = at(fd, path, length);
      if (!(node instanceof FolderNode)) refuse(node ? NOTDIR : NOENT);
      if (node.entries.size > 0) refuse(NOTEMPTY);
      if (!parent) refuse(BUSY);
      parent.entries.delete(name);
    },
    path_rename: (fromFd, from, fromLength, toFd, to, toLength) => {
      const source = at(fromFd, from, fromLength);
      const target = at(toFd, to, toLength);
      if (!source.node) refuse(NOENT);
      if (!source.parent || !target.parent) refuse(BUSY);
      if (source.node === target.node) return;
      if (source.node instanceof FolderNode) refuse(NOTSUP);
      if (target.node instanceof FolderNode) refuse(ISDIR);
      source.parent.entries.delete(source.name);
      target.parent.entries.set(target.name, source.node);
    },
    path_symlink: () => refuse(NOTSUP),
    path_unlink_file: (fd, path, length) => {
      const { parent, name, node } = at(fd, path, length);
      if (!(node instanceof FileNode)) refuse(node ? ISDIR : NOENT);
      parent.entries.delete(name);
    },
  };

  const guarded = (call) => (...values) => {
    try {
      call(...values);
      return SUCCESS;
    } catch (error) {
      if (error instanceof Refused) return error.errno;
      throw error;
    }
  };
  const imports = {};
  for (const { module: from, name } of WebAssembly.Module.imports(module)) {
    imports[from] ??= {};
    imports[from][name] = guarded(calls[name] ?? (() => refuse(NOSYS)));
  }
  const instance = new WebAssembly.Instance(module, imports);
  memory = instance.exports.memory;
  const text = (parts) => {
    const all = new Uint8Array(total(parts));
    let end = 0;
    for (const part of parts) {
      all.set(part, end);
      end += part.length;
    }
    return decoder.decode(all);
  };
  let status = 0;
  try {
    instance.exports._start();
  } catch (error) {
    if (!(error instanceof Exit)) {
      throw Object.assign(new Error(String(error)), { broken: true, err: text(err) });
    }
    status = error.status;
  }

  const changed = new Map();
  for (const [name, node] of filesOf(root)) {
    const known = before.get(name) === node && !node.own;
    if (!known && !same(node.bytes, files.get(name))) changed.set(name, node.bytes.slice());
    before.delete(name);
  }
  for (const name of before.keys()) changed.set(name, null);
  return { status, out: text(out), err: text(err), files: changed };
}

function same(bytes, others) {
  return others !== undefined && bytes.length === others.length && bytes.every((byte, i) => byte === others[i]);
}
