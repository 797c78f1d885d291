//! Pictures from files: TIFF and PNG of 16 bits a channel, turned into linear light.
//!
//! One channel is kept. How the values are encoded must be said by the file, or the user says that they are
//! linear; it is never guessed.

mod encoding;
mod fault;
mod icc;
mod png;
mod tags;
mod tiff;
mod write;

use std::io::{BufRead, Cursor, Seek, SeekFrom};

use super::Image;
pub use encoding::{Encoding, Origin};
pub use fault::{PictureError, Refusal};
pub use write::png_of;

/// Most pixels of a picture, in millions.
const MOST_MEGAPIXELS: u64 = 200;

/// The channel of a colour picture that is measured.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Channel {
    /// Red.
    Red,
    /// Green: least noise in most cameras.
    #[default]
    Green,
    /// Blue.
    Blue,
}

/// How a picture is read.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Options {
    /// The channel that is measured; a grey picture has but one.
    pub channel: Channel,
    /// The values are linear in light, whatever the file says of them.
    pub linear: bool,
}

/// A picture, and how its values were turned into light.
#[derive(Clone, Debug, PartialEq)]
pub struct Picture {
    /// Linear light.
    pub image: Image,
    /// The encoding that was undone.
    pub encoding: Encoding,
    /// Who says so.
    pub origin: Origin,
    /// Whether the file is in colour, so that other channels could be read.
    pub in_colour: bool,
}

/// What a file is read through.
trait Source: BufRead + Seek {}
impl<S: BufRead + Seek> Source for S {}

/// The light of a picture in a file.
///
/// # Errors
/// [`PictureError`] with the file's name, the reason and what to do.
#[cfg(feature = "files")]
pub fn read(path: &std::path::Path, options: Options) -> Result<Image, PictureError> {
    open(path, options).map(|picture| picture.image)
}

/// A picture in a file, with its encoding.
///
/// # Errors
/// As [`read`].
#[cfg(feature = "files")]
pub fn open(path: &std::path::Path, options: Options) -> Result<Picture, PictureError> {
    let file = || path.display().to_string();
    let failed = |fault: std::io::Error| PictureError::unreadable(file(), &fault);
    if path.is_dir() {
        return Err(PictureError::Directory { file: file() });
    }
    let opened = std::fs::File::open(path).map_err(failed)?;
    if !opened.metadata().map_err(failed)?.is_file() {
        return Err(PictureError::Refused { file: file(), why: Refusal::NotAPicture });
    }
    let source = std::io::BufReader::with_capacity(1 << 16, opened);
    picture_of(source, options).map_err(|why| why.of(file()))
}

/// A picture in memory; `name` stands in messages.
///
/// # Errors
/// As [`read`].
pub fn read_bytes(name: &str, bytes: &[u8], options: Options) -> Result<Picture, PictureError> {
    picture_of(Cursor::new(bytes), options).map_err(|why| why.of(name.to_owned()))
}

/// Why a picture is not read, the file's name to come.
enum Fault {
    Refused(Refusal),
    Damaged(String),
    Io(std::io::Error),
}

impl Fault {
    fn of(self, file: String) -> PictureError {
        match self {
            Fault::Refused(why) => PictureError::Refused { file, why },
            Fault::Damaged(reason) => PictureError::Damaged { file, reason },
            Fault::Io(fault) if fault.kind() == std::io::ErrorKind::UnexpectedEof => {
                PictureError::Cut { file }
            }
            Fault::Io(fault) => PictureError::unreadable(file, &fault),
        }
    }
}

impl From<Refusal> for Fault {
    fn from(why: Refusal) -> Self {
        Fault::Refused(why)
    }
}

impl From<std::io::Error> for Fault {
    fn from(fault: std::io::Error) -> Self {
        Fault::Io(fault)
    }
}

fn picture_of(mut source: impl Source, options: Options) -> Result<Picture, Fault> {
    let length = source.seek(SeekFrom::End(0))?;
    source.rewind()?;
    let mut head = Vec::with_capacity(12);
    std::io::Read::read_to_end(&mut std::io::Read::take(&mut source, 12), &mut head)?;
    source.rewind()?;
    match kind(&head)? {
        Kind::Png => png::picture(source, length, options),
        Kind::Tiff => tiff::picture(source, length, options),
    }
}

enum Kind {
    Png,
    Tiff,
}

/// The kind of a file by its first bytes.
fn kind(head: &[u8]) -> Result<Kind, Refusal> {
    match head {
        [] => Err(Refusal::Empty),
        [0x89, b'P', b'N', b'G', ..] => Ok(Kind::Png),
        [b'I', b'I', 42 | 43, 0, ..] | [b'M', b'M', 0, 42 | 43, ..] => Ok(Kind::Tiff),
        [0xff, 0xd8, ..] => Err(Refusal::Jpeg),
        // Cameras' files that are TIFF but for the version.
        [b'I', b'I', ..] | [b'M', b'M', ..] => Err(Refusal::Raw),
        // ISO 14496-12: compressed photographs, and newer raw files.
        [_, _, _, _, b'f', b't', b'y', b'p', ..] => Err(Refusal::BaseMedia),
        _ => Err(Refusal::NotAPicture),
    }
}

/// Refuses a size that is too large, or that a file of this length cannot have.
///
/// A compressed byte gives at most `ratio` bytes.
fn plausible(
    (width, height): (u64, u64),
    samples: u64,
    length: u64,
    ratio: u64,
) -> Result<(), Fault> {
    if width == 0 || height == 0 {
        return Err(Fault::Damaged(format!("its size is {width} × {height} pixels")));
    }
    let pixels = width.saturating_mul(height);
    let bytes = pixels.saturating_mul(2 * samples);
    if bytes > length.saturating_mul(ratio) {
        return Err(Refusal::ImpossibleSize { width, height, length }.into());
    }
    if pixels > MOST_MEGAPIXELS * 1_000_000 {
        return Err(Refusal::TooLarge { width, height, most: MOST_MEGAPIXELS }.into());
    }
    Ok(())
}

/// The number of the channel among the colours.
fn index(channel: Channel, colours: usize) -> usize {
    if colours < 3 { 0 } else { channel as usize }
}

/// The picture of light whose values were looked up in `table`.
fn finished(width: usize, height: usize, light: Vec<f32>, table: &[f32]) -> Image {
    let full = table[usize::from(u16::MAX)];
    let clipped_from = plateau(&light, full).unwrap_or(full);
    Image { width, height, light, clipped_from }
}

/// The level at which the picture is clipped, where that is less than the greatest that the file can hold.
///
/// A sensor may be full before the file is: then many pixels have the greatest value of the picture, far more
/// than the values just below it.
fn plateau(light: &[f32], full: f32) -> Option<f32> {
    let most = light.iter().copied().fold(0.0_f32, f32::max);
    if !(most < full && most > 0.85 * full) {
        return None;
    }
    let at_most = light.iter().filter(|v| **v == most).count();
    let below = light.iter().filter(|v| (0.98 * most..most).contains(*v)).count();
    // Fifty levels of a camera of 12 bits lie in these 2 %: one that holds as much as all of them is clipped.
    (at_most >= 20 && at_most > below / 4).then_some(most)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sensor_that_is_full_before_the_file_is() {
        let mut light: Vec<f32> = (0..1000u16).map(|k| f32::from(k) / 1000.0 * 0.93).collect();
        assert_eq!(plateau(&light, 1.0), None);
        light.extend([0.95; 40]);
        assert_eq!(plateau(&light, 1.0), Some(0.95));
        light.push(1.0);
        assert_eq!(plateau(&light, 1.0), None);
    }
}
