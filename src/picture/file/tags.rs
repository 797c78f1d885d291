//! The first directory of a TIFF file, read before any pixel: what a picture is, is judged here.

use super::{Fault, Source};
use std::collections::BTreeMap;
use std::io::SeekFrom;

/// Numbers of tags (TIFF 6.0; 330, 34675 and 50706 from its supplements).
pub mod tag {
    pub const SUBFILE: u16 = 254;
    pub const WIDTH: u16 = 256;
    pub const HEIGHT: u16 = 257;
    pub const BITS: u16 = 258;
    pub const COMPRESSION: u16 = 259;
    pub const COLOURS: u16 = 262;
    pub const STRIP_OFFSETS: u16 = 273;
    pub const SAMPLES: u16 = 277;
    pub const ROWS_PER_STRIP: u16 = 278;
    pub const PLANAR: u16 = 284;
    pub const TRANSFER: u16 = 301;
    pub const TILE_WIDTH: u16 = 322;
    pub const TILE_HEIGHT: u16 = 323;
    pub const TILE_OFFSETS: u16 = 324;
    pub const INNER: u16 = 330;
    pub const FORMAT: u16 = 339;
    pub const MOSAIC: u16 = 33422;
    pub const PROFILE: u16 = 34675;
    pub const RAW: u16 = 50706;
}

/// Entries of a directory: far more than any file has.
const MOST_ENTRIES: u64 = 4096;

struct Entry {
    kind: u16,
    count: u64,
    /// The value itself, or where it stands.
    field: Vec<u8>,
}

/// The first directory of a file.
pub struct Directory {
    entries: BTreeMap<u16, Entry>,
    big_end_first: bool,
    length: u64,
}

impl Directory {
    /// Reads it.
    pub fn first(source: &mut impl Source, length: u64) -> Result<Self, Fault> {
        let mut head = [0; 8];
        source.seek(SeekFrom::Start(0))?;
        source.read_exact(&mut head)?;
        let big_end_first = head[0] == b'M';
        let mut directory = Directory { entries: BTreeMap::new(), big_end_first, length };
        let large = directory.number(&head[2..4]) == 43;
        let at = if large {
            let mut rest = [0; 8];
            source.read_exact(&mut rest)?;
            directory.number(&rest)
        } else {
            directory.number(&head[4..8])
        };
        if at >= length {
            return Err(std::io::Error::from(std::io::ErrorKind::UnexpectedEof).into());
        }
        source.seek(SeekFrom::Start(at))?;
        let (count_bytes, word) = if large { (8, 8) } else { (2, 4) };
        let mut bytes = [0; 20];
        source.read_exact(&mut bytes[..count_bytes])?;
        let count = directory.number(&bytes[..count_bytes]);
        if count > MOST_ENTRIES {
            return Err(Fault::Damaged(format!("a directory of {count} entries")));
        }
        for _ in 0..count {
            let bytes = &mut bytes[..4 + 2 * word];
            source.read_exact(bytes)?;
            let entry = Entry {
                kind: directory.number(&bytes[2..4]) as u16,
                count: directory.number(&bytes[4..4 + word]),
                field: bytes[4 + word..].to_vec(),
            };
            directory.entries.insert(directory.number(&bytes[..2]) as u16, entry);
        }
        Ok(directory)
    }

    fn number(&self, bytes: &[u8]) -> u64 {
        let add = |sum: u64, byte: &u8| sum << 8 | u64::from(*byte);
        if self.big_end_first { bytes.iter().fold(0, add) } else { bytes.iter().rev().fold(0, add) }
    }

    pub fn has(&self, tag: u16) -> bool {
        self.entries.contains_key(&tag)
    }

    /// How many values a tag has.
    pub fn count(&self, tag: u16) -> u64 {
        self.entries.get(&tag).map_or(0, |entry| entry.count)
    }

    /// The whole numbers of a tag; none where it is absent, at most `most` of them.
    pub fn numbers(
        &self,
        source: &mut impl Source,
        tag: u16,
        most: u64,
    ) -> Result<Vec<u64>, Fault> {
        let Some(entry) = self.entries.get(&tag) else { return Ok(Vec::new()) };
        let size = match entry.kind {
            1 | 2 | 7 => 1,
            3 => 2,
            4 | 13 => 4,
            16 | 18 => 8,
            other => return Err(Fault::Damaged(format!("tag {tag} of type {other}"))),
        };
        let bytes = self.bytes(source, tag, entry, size, most)?;
        Ok(bytes.chunks_exact(size as usize).map(|b| self.number(b)).collect())
    }

    /// The single number of a tag, or the first of several.
    pub fn one(&self, source: &mut impl Source, tag: u16) -> Result<Option<u64>, Fault> {
        Ok(self.numbers(source, tag, 64)?.first().copied())
    }

    /// The bytes of a tag; `None` where it is absent.
    pub fn raw(
        &self,
        source: &mut impl Source,
        tag: u16,
        most: u64,
    ) -> Result<Option<Vec<u8>>, Fault> {
        let Some(entry) = self.entries.get(&tag) else { return Ok(None) };
        if !matches!(entry.kind, 1 | 7) {
            return Err(Fault::Damaged(format!("tag {tag} of type {}", entry.kind)));
        }
        self.bytes(source, tag, entry, 1, most).map(Some)
    }

    fn bytes(
        &self,
        source: &mut impl Source,
        tag: u16,
        entry: &Entry,
        size: u64,
        most: u64,
    ) -> Result<Vec<u8>, Fault> {
        let length = entry.count.saturating_mul(size);
        if entry.count > most || length > self.length {
            return Err(Fault::Damaged(format!("tag {tag} of {} values", entry.count)));
        }
        if length <= entry.field.len() as u64 {
            return Ok(entry.field[..length as usize].to_vec());
        }
        source.seek(SeekFrom::Start(self.number(&entry.field)))?;
        let mut bytes = vec![0; length as usize];
        source.read_exact(&mut bytes)?;
        Ok(bytes)
    }
}
