//! Why a picture cannot be read, and what to do.

/// A picture that cannot be read. `Display` is one line.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum PictureError {
    /// Nothing has that name.
    #[error("{file}: no such file; check the path")]
    NotFound {
        /// The file.
        file: String,
    },
    /// The path names a directory.
    #[error("{file}: this is a directory; name the picture in it")]
    Directory {
        /// The file.
        file: String,
    },
    /// What the operating system said.
    #[error("{file}: cannot be read ({reason})")]
    Unreadable {
        /// The file.
        file: String,
        /// The message of the operating system.
        reason: String,
    },
    /// A file that ends before its picture does.
    #[error("{file}: the file ends before the picture does; copy or export it again")]
    Cut {
        /// The file.
        file: String,
    },
    /// A file that contradicts itself.
    #[error("{file}: the picture is damaged ({reason}); copy or export it again")]
    Damaged {
        /// The file.
        file: String,
        /// What is wrong with it.
        reason: String,
    },
    /// A sound file that densities cannot be measured from.
    #[error("{file}: {why}")]
    Refused {
        /// The file.
        file: String,
        /// The reason, and the way out.
        why: Refusal,
    },
    /// Pictures that cannot be merged.
    #[error("{0}")]
    Bracket(#[from] crate::picture::bracket::BracketFault),
}

impl PictureError {
    pub(super) fn unreadable(file: String, fault: &std::io::Error) -> Self {
        match fault.kind() {
            std::io::ErrorKind::NotFound => PictureError::NotFound { file },
            std::io::ErrorKind::IsADirectory => PictureError::Directory { file },
            _ => PictureError::Unreadable { file, reason: fault.to_string() },
        }
    }
}

/// Why densities cannot be measured from a file, and the way out.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Refusal {
    /// A file without a byte.
    #[error("the file is empty; export the picture again")]
    Empty,
    /// Neither TIFF nor PNG.
    #[error("this is neither a TIFF nor a PNG picture; export a linear 16-bit TIFF")]
    NotAPicture,
    /// JPEG, as a file or inside a TIFF.
    #[error(
        "a JPEG has 8 bits and a tone curve of the camera, from which no density can be measured; take the picture in raw and export a linear 16-bit TIFF"
    )]
    Jpeg,
    /// A camera's raw file.
    #[error(
        "a camera's raw file, of which only a small preview could be opened; convert it to a linear 16-bit TIFF with a raw converter"
    )]
    Raw,
    /// A container of compressed photographs or of raw data.
    #[error(
        "a compressed photograph or a camera's raw file; convert the raw file to a linear 16-bit TIFF with a raw converter"
    )]
    BaseMedia,
    /// Fewer or more bits than 16.
    #[error(
        "{bits} bits a channel, where 16 are needed: {} export a linear 16-bit TIFF",
        if *bits < 16 { "in 8 bits the dense steps have only a few levels, or one;" } else { "other depths are not read;" }
    )]
    Bits {
        /// Bits of one channel.
        bits: u64,
    },
    /// Channels of unequal depth.
    #[error("its channels have different numbers of bits; export a linear 16-bit TIFF")]
    UnequalBits,
    /// Numbers with a floating point.
    #[error(
        "floating-point values of {bits} bits are not read; export 16-bit whole numbers (linear 16-bit TIFF)"
    )]
    Float {
        /// Bits of one channel.
        bits: u64,
    },
    /// Signed or undefined numbers.
    #[error("its values are not whole numbers from 0 up; export a linear 16-bit TIFF")]
    Signed,
    /// Colours that are not light of three colours or grey.
    #[error("a picture in {what}, where grey or RGB is needed; export a linear 16-bit TIFF in RGB")]
    Colours {
        /// The kind of colours.
        what: &'static str,
    },
    /// A compression that is not read.
    #[error(
        "its compression (number {number}) is not read; export it without compression, or with LZW or deflate"
    )]
    Compression {
        /// The number of the compression in the file.
        number: u64,
    },
    /// A size that the file cannot hold.
    #[error(
        "{width} × {height} pixels are more than a file of {length} bytes can hold: it is cut or damaged; export it again"
    )]
    ImpossibleSize {
        /// Columns.
        width: u64,
        /// Rows.
        height: u64,
        /// Bytes of the file.
        length: u64,
    },
    /// More pixels than are read.
    #[error(
        "{width} × {height} pixels are more than {most} million; crop it, or export it at half the size"
    )]
    TooLarge {
        /// Columns.
        width: u64,
        /// Rows.
        height: u64,
        /// The most, in millions.
        most: u64,
    },
    /// Nothing says how values and light belong together.
    #[error(
        "nothing in the file says how its values follow from light; export it with a profile; if it was exported as linear, say so"
    )]
    NoEncoding,
    /// An encoding that cannot be undone.
    #[error(
        "its values are encoded by {what}, which is not undone here; export a linear 16-bit TIFF"
    )]
    Encoding {
        /// What the file says.
        what: String,
    },
}
