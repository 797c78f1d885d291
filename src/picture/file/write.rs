//! Pictures written: grey, 16 bits, linear.

use super::Image;

/// A PNG of 16 bits, which says of itself that its values are linear.
///
/// Light below 0 and above 1 is written as 0 and 1.
///
/// # Errors
/// A picture without pixels, or whose sides are longer than PNG can hold.
pub fn png_of(image: &Image) -> std::io::Result<Vec<u8>> {
    let side = |pixels: usize| u32::try_from(pixels).map_err(std::io::Error::other);
    let mut file = Vec::new();
    let mut encoder = png::Encoder::new(&mut file, side(image.width)?, side(image.height)?);
    encoder.set_color(png::ColorType::Grayscale);
    encoder.set_depth(png::BitDepth::Sixteen);
    encoder.set_source_gamma(png::ScaledFloat::new(1.0));
    let mut writer = encoder.write_header()?;
    let bytes: Vec<u8> = image
        .light
        .iter()
        .flat_map(|v| ((v.clamp(0.0, 1.0) * 65_535.0).round() as u16).to_be_bytes())
        .collect();
    writer.write_image_data(&bytes)?;
    writer.finish()?;
    Ok(file)
}
