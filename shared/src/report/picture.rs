//! A drawing as a picture: painted with a font that comes with the program, with its words inside.
use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::fontdb::Database;
use resvg::usvg::{Options, Tree};
use std::sync::{Arc, LazyLock};

/// Latin letters, digits and signs of Roboto, regular and bold, under the licence beside them.
const FONTS: [&[u8]; 2] = [include_bytes!("font/regular.ttf"), include_bytes!("font/bold.ttf")];

/// How much larger than drawn, for dense screens.
const SCALE: f32 = 2.0;

static FONT: LazyLock<Arc<Database>> = LazyLock::new(|| {
    let mut fonts = Database::new();
    for font in FONTS {
        fonts.load_font_data(font.to_vec());
    }
    fonts.set_sans_serif_family("Roboto");
    Arc::new(fonts)
});

/// A drawing that can't be painted.
#[derive(Debug, thiserror::Error)]
pub enum PictureError {
    /// It is no SVG.
    #[error("this is no drawing: {0}")]
    Drawing(#[from] resvg::usvg::Error),
    /// It is larger than a picture can be.
    #[error("a picture of this size can't be painted")]
    Size,
    /// It could not be written.
    #[error("the picture can't be written: {0}")]
    Written(#[from] png::EncodingError),
}

/// Paints an SVG drawing as PNG, twice as large. `alt` is what it says, for those who can't see it: it is kept in the
/// picture under the keyword `Description` (PNG specification, 11.3.3.1).
///
/// # Errors
/// [`PictureError`] where the text is no drawing.
pub fn png(svg: &str, alt: &str) -> Result<Vec<u8>, PictureError> {
    let options = Options { fontdb: Arc::clone(&FONT), font_family: "Roboto".into(), ..Options::default() };
    let tree = Tree::from_str(svg, &options)?;
    let size = tree.size().to_int_size().scale_by(SCALE).ok_or(PictureError::Size)?;
    let mut pixels = Pixmap::new(size.width(), size.height()).ok_or(PictureError::Size)?;
    resvg::render(&tree, Transform::from_scale(SCALE, SCALE), &mut pixels.as_mut());
    let mut written = Vec::new();
    let mut encoder = png::Encoder::new(&mut written, size.width(), size.height());
    encoder.set_color(png::ColorType::Rgba);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.add_itxt_chunk("Description".to_owned(), alt.to_owned())?;
    // Drawings have a ground that covers them, so that no pixel is seen through and has to be unmultiplied.
    let mut writer = encoder.write_header()?;
    writer.write_image_data(pixels.data())?;
    writer.finish()?;
    Ok(written)
}
