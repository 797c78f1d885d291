//! TIFF pictures.

use super::encoding::{Encoding, Origin, agreed};
use super::fault::Refusal;
use super::tags::{Directory, tag};
use super::{Channel, Fault, Options, Picture, Source, finished, icc, index, plausible};
use tiff::TiffError;
use tiff::decoder::{ChunkType, Decoder, Limits};

/// What a compressed byte gives at most: deflate 1032, LZW a chain of 12-bit codes, PackBits 128 bytes for two.
const DEFLATE: u64 = 1032;
const LZW: u64 = 2731;
const PACK_BITS: u64 = 64;

/// Profiles are some kB; those with large tables some MB.
const MOST_PROFILE: u64 = 16 << 20;

/// What is known before pixels are read.
struct Layout {
    width: u64,
    height: u64,
    colours: usize,
    samples: u64,
    planar: bool,
    tile: Option<(u64, u64)>,
    rows_per_strip: u64,
    encoding: Encoding,
    origin: Origin,
}

pub(super) fn picture(
    mut source: impl Source,
    length: u64,
    options: Options,
) -> Result<Picture, Fault> {
    let layout = layout(&mut source, length, options)?;
    let table = layout.encoding.table()?;
    source.rewind()?;
    let light = light(source, length, &layout, options.channel, &table)?;
    Ok(Picture {
        image: finished(layout.width as usize, layout.height as usize, light, &table),
        encoding: layout.encoding,
        origin: layout.origin,
        in_colour: layout.colours == 3,
    })
}

/// All checks of what the file says of itself.
fn layout(source: &mut impl Source, length: u64, options: Options) -> Result<Layout, Fault> {
    let directory = Directory::first(source, length)?;
    let mut one = |tag| directory.one(source, tag);
    let colours = one(tag::COLOURS)?;
    // A raw file's first picture is its preview: marked as reduced, or with the real one inside.
    let raw = directory.has(tag::RAW)
        || directory.has(tag::INNER)
        || directory.has(tag::MOSAIC)
        || one(tag::SUBFILE)?.unwrap_or(0) & 1 == 1
        || matches!(colours, Some(32_803 | 34_892));
    if raw {
        return Err(Refusal::Raw.into());
    }
    let ratio = match one(tag::COMPRESSION)?.unwrap_or(1) {
        1 => 1,
        5 => LZW,
        8 | 32_946 => DEFLATE,
        32_773 => PACK_BITS,
        6 | 7 => return Err(Refusal::Jpeg.into()),
        number => return Err(Refusal::Compression { number }.into()),
    };
    let needed = |value: Option<u64>, what: &str| {
        value.ok_or_else(|| Fault::Damaged(format!("its {what} is missing")))
    };
    let width = needed(one(tag::WIDTH)?, "width")?;
    let height = needed(one(tag::HEIGHT)?, "height")?;
    let samples = one(tag::SAMPLES)?.unwrap_or(1);
    let colours = match needed(colours, "kind of colours")? {
        0 | 1 => 1,
        2 => 3,
        other => return Err(Refusal::Colours { what: foreign(other) }.into()),
    };
    if samples < colours as u64 || samples > 16 {
        return Err(Fault::Damaged(format!("{samples} values a pixel")));
    }
    let planar = match one(tag::PLANAR)?.unwrap_or(1) {
        1 => false,
        2 => true,
        other => return Err(Fault::Damaged(format!("planar configuration {other}"))),
    };
    numbers(&directory, source)?;
    plausible((width, height), samples, length, ratio)?;
    let tile = tile(&directory, source, width * height)?;
    let rows_per_strip =
        directory.one(source, tag::ROWS_PER_STRIP)?.unwrap_or(height).clamp(1, height);
    let (encoding, origin) =
        agreed(encoding(&directory, source, colours == 1, options.channel), options.linear)?;
    let layout =
        Layout { width, height, colours, samples, planar, tile, rows_per_strip, encoding, origin };
    let offsets = if tile.is_some() { tag::TILE_OFFSETS } else { tag::STRIP_OFFSETS };
    let chunks = layout.chunks_a_plane() * if planar { samples } else { 1 };
    if directory.count(offsets) != chunks {
        return Err(Fault::Damaged(format!(
            "{} pieces, where its size makes {chunks}",
            directory.count(offsets)
        )));
    }
    Ok(layout)
}

/// Refuses all but whole numbers of 16 bits.
fn numbers(directory: &Directory, source: &mut impl Source) -> Result<(), Fault> {
    let bits = directory.numbers(source, tag::BITS, 64)?;
    let first = bits.first().copied().unwrap_or(1);
    if bits.iter().any(|b| *b != first) {
        return Err(Refusal::UnequalBits.into());
    }
    let formats = directory.numbers(source, tag::FORMAT, 64)?;
    if formats.contains(&3) {
        return Err(Refusal::Float { bits: first }.into());
    }
    if first != 16 {
        return Err(Refusal::Bits { bits: first }.into());
    }
    // 4 is "not defined", which some writers mean as whole numbers.
    if formats.iter().any(|format| !matches!(format, 1 | 4)) {
        return Err(Refusal::Signed.into());
    }
    Ok(())
}

fn tile(
    directory: &Directory,
    source: &mut impl Source,
    pixels: u64,
) -> Result<Option<(u64, u64)>, Fault> {
    let (Some(width), Some(height)) =
        (directory.one(source, tag::TILE_WIDTH)?, directory.one(source, tag::TILE_HEIGHT)?)
    else {
        return Ok(None);
    };
    // A tile may reach beyond the picture, but not by far.
    let most = (4 * pixels).max(1 << 22);
    if width == 0 || height == 0 || width.saturating_mul(height) > most {
        return Err(Fault::Damaged(format!("tiles of {width} × {height} pixels")));
    }
    Ok(Some((width, height)))
}

impl Layout {
    fn chunks_a_plane(&self) -> u64 {
        match self.tile {
            Some((w, h)) => self.width.div_ceil(w) * self.height.div_ceil(h),
            None => self.height.div_ceil(self.rows_per_strip),
        }
    }

    /// Upper left corner of a piece of a plane.
    fn corner(&self, piece: u64) -> (usize, usize) {
        let (x, y) = match self.tile {
            Some((w, h)) => {
                let across = self.width.div_ceil(w);
                (piece % across * w, piece / across * h)
            }
            None => (0, piece * self.rows_per_strip),
        };
        (x as usize, y as usize)
    }
}

/// What kind of colours a picture has that is neither grey nor RGB.
fn foreign(number: u64) -> &'static str {
    match number {
        3 => "indexed colours",
        4 => "a mask of transparency",
        5 => "colours of printing inks",
        6 => "luma and colour differences",
        8..=10 => "L*a*b* colours",
        _ => "colours of another kind",
    }
}

/// What the file says of its values.
fn encoding(
    directory: &Directory,
    source: &mut impl Source,
    grey: bool,
    channel: Channel,
) -> Result<Option<(Encoding, Origin)>, Refusal> {
    let unread = |what: &str| Refusal::Encoding { what: what.to_owned() };
    let profile = directory
        .raw(source, tag::PROFILE, MOST_PROFILE)
        .map_err(|_| unread("a profile that cannot be read"))?;
    if let Some(profile) = profile {
        return icc::curve(&profile, grey, channel).map(|e| Some((e, Origin::Profile)));
    }
    // One table for all colours, or one for each, of 65536 numbers.
    let values = directory
        .numbers(source, tag::TRANSFER, 3 << 16)
        .map_err(|_| unread("a transfer function that cannot be read"))?;
    let at = match values.len() {
        0 => return Ok(None),
        65_536 => 0,
        196_608 => channel as usize * 65_536,
        _ => return Err(unread("a transfer function of another size than its values")),
    };
    let points: Vec<u16> = values[at..at + 65_536].iter().map(|v| *v as u16).collect();
    let linear = points.iter().enumerate().all(|(k, v)| usize::from(*v) == k);
    let encoding = if linear { Encoding::Linear } else { Encoding::Table(points) };
    Ok(Some((encoding, Origin::File)))
}

fn light(
    source: impl Source,
    length: u64,
    layout: &Layout,
    channel: Channel,
    table: &[f32],
) -> Result<Vec<f32>, Fault> {
    let (width, height) = (layout.width as usize, layout.height as usize);
    // No piece holds more than the picture and its margins, and none is longer than the file.
    let largest = 8 * layout.samples as usize * width * height + (1 << 25);
    let mut limits = Limits::default();
    limits.decoding_buffer_size = largest;
    limits.intermediate_buffer_size = usize::try_from(length).unwrap_or(usize::MAX);
    let mut decoder = Decoder::new(source).map_err(fault)?.with_limits(limits);
    let kind = if layout.tile.is_some() { ChunkType::Tile } else { ChunkType::Strip };
    let stride = if layout.planar {
        1
    } else {
        usize::from(decoder.colortype().map_err(fault)?.num_samples())
    };
    let agrees = decoder.dimensions().map_err(fault)?
        == (layout.width as u32, layout.height as u32)
        && decoder.get_chunk_type() == kind
        && stride > 0;
    if !agrees {
        return Err(Fault::Damaged("its tags contradict each other".to_owned()));
    }
    let chosen = index(channel, layout.colours);
    let pieces = layout.chunks_a_plane();
    let (first, place) = if layout.planar { (chosen as u64 * pieces, 0) } else { (0, chosen) };
    let mut light = vec![0.0_f32; width * height];
    let mut bytes = Vec::new();
    for piece in 0..pieces {
        let chunk = (first + piece) as u32;
        let needed = decoder.image_chunk_buffer_layout(chunk).map_err(fault)?.len;
        if needed > largest {
            return Err(Fault::Damaged(format!("a piece of {needed} bytes")));
        }
        bytes.resize(needed, 0);
        decoder.read_chunk_bytes(chunk, &mut bytes).map_err(fault)?;
        let (columns, rows) = decoder.chunk_data_dimensions(chunk);
        let (x, y) = layout.corner(piece);
        let columns = (columns as usize).min(width - x);
        let from = bytes.chunks_exact((needed / (rows as usize).max(1)).max(1));
        for (row, from) in (y..height.min(y + rows as usize)).zip(from) {
            let to = &mut light[row * width + x..][..columns];
            for (to, from) in to.iter_mut().zip(from.chunks_exact(2 * stride)) {
                let value = u16::from_ne_bytes([from[2 * place], from[2 * place + 1]]);
                *to = table[usize::from(value)];
            }
        }
    }
    Ok(light)
}

fn fault(fault: TiffError) -> Fault {
    match fault {
        TiffError::IoError(fault) if fault.kind() == std::io::ErrorKind::UnexpectedEof => {
            Fault::Io(fault)
        }
        // What decompression reports comes as an error of reading too.
        fault => Fault::Damaged(fault.to_string()),
    }
}
