//! PNG pictures.

use super::encoding::{Encoding, Origin, agreed};
use super::fault::Refusal;
use super::{Channel, Fault, Options, Picture, Source, finished, icc, index, plausible};
use png::{BitDepth, ColorType, Decoder, DecodingError, Info, Limits};

/// A byte of deflate gives at most so many.
const DEFLATE: u64 = 1032;

pub(super) fn picture(
    source: impl Source,
    length: u64,
    options: Options,
) -> Result<Picture, Fault> {
    let mut decoder = Decoder::new_with_limits(source, Limits { bytes: 64 << 20 });
    decoder.set_ignore_text_chunk(true);
    let info = decoder.read_header_info().map_err(fault)?;
    let samples = info.color_type.samples();
    let colours = match info.color_type {
        ColorType::Indexed => return Err(Refusal::Colours { what: "indexed colours" }.into()),
        ColorType::Grayscale | ColorType::GrayscaleAlpha => 1,
        ColorType::Rgb | ColorType::Rgba => 3,
    };
    if info.bit_depth != BitDepth::Sixteen {
        return Err(Refusal::Bits { bits: info.bit_depth as u64 }.into());
    }
    let (width, height) = info.size();
    plausible((width.into(), height.into()), samples as u64, length, DEFLATE)?;
    let mut reader = decoder.read_info().map_err(fault)?;
    let said = encoding(reader.info(), colours == 1, options.channel);
    let (encoding, origin) = agreed(said, options.linear)?;
    let table = encoding.table()?;
    let (width, height) = (width as usize, height as usize);
    let place = 2 * index(options.channel, colours);
    let mut light = Vec::with_capacity(width * height);
    let mut take =
        |row: &[u8]| {
            light.extend(row.chunks_exact(2 * samples).map(|pixel| {
                table[usize::from(u16::from_be_bytes([pixel[place], pixel[place + 1]]))]
            }));
        };
    if reader.info().interlaced {
        let mut bytes = vec![0; width * height * samples * 2];
        reader.next_frame(&mut bytes).map_err(fault)?;
        take(&bytes);
    } else {
        while let Some(row) = reader.next_row().map_err(fault)? {
            take(row.data());
        }
    }
    if light.len() != width * height {
        return Err(Fault::Damaged("rows are missing".to_owned()));
    }
    reader.finish().map_err(fault)?;
    Ok(Picture {
        image: finished(width, height, light, &table),
        encoding,
        origin,
        in_colour: colours == 3,
    })
}

/// What the file says of its values; of several fields, the one that the standard puts first (PNG, third edition,
/// 4.3: cICP, iCCP, sRGB, gAMA).
fn encoding(
    info: &Info,
    grey: bool,
    channel: Channel,
) -> Result<Option<(Encoding, Origin)>, Refusal> {
    if let Some(points) = &info.coding_independent_code_points {
        let unknown = |what: String| Err(Refusal::Encoding { what });
        if !points.is_video_full_range_image || points.matrix_coefficients != 0 {
            return unknown("values of a video signal".to_owned());
        }
        // Numbers of ITU-T H.273.
        let encoding = match points.transfer_function {
            1 | 6 | 14 | 15 => Encoding::Bt709,
            4 => Encoding::Power(2.2),
            5 => Encoding::Power(2.8),
            8 => Encoding::Linear,
            13 => Encoding::Srgb,
            other => return unknown(format!("transfer function {other} of ITU-T H.273")),
        };
        return Ok(Some((encoding, Origin::File)));
    }
    if let Some(profile) = &info.icc_profile {
        return icc::curve(profile, grey, channel).map(|e| Some((e, Origin::Profile)));
    }
    if info.srgb.is_some() {
        return Ok(Some((Encoding::Srgb, Origin::File)));
    }
    let Some(gamma) = info.gama_chunk else { return Ok(None) };
    let encoding = match gamma.into_scaled() {
        100_000 => Encoding::Linear,
        scaled @ 10_000..=1_000_000 => Encoding::Power(100_000.0 / f64::from(scaled)),
        scaled => {
            return Err(Refusal::Encoding { what: format!("a power of 100000/{scaled}") });
        }
    };
    Ok(Some((encoding, Origin::File)))
}

fn fault(fault: DecodingError) -> Fault {
    match fault {
        DecodingError::IoError(fault) => Fault::Io(fault),
        fault => Fault::Damaged(fault.to_string()),
    }
}
