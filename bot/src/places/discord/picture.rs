//! The chart as a picture: the one drawing of charts, painted with a font that comes with the program.
use crate::card::Chart;
use pipwright_shared::report::palette::Theme;
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

/// Paints a chart as PNG; none where it can't be painted, and the answer then goes without.
pub fn png(chart: &Chart) -> Option<Vec<u8>> {
    let options = Options { fontdb: Arc::clone(&FONT), font_family: "Roboto".into(), ..Options::default() };
    let tree = Tree::from_str(&chart.svg(Theme::Light), &options)
        .inspect_err(|error| tracing::error!(%error, "a chart is no drawing"))
        .ok()?;
    let size = tree.size().to_int_size().scale_by(SCALE)?;
    let mut pixels = Pixmap::new(size.width(), size.height())?;
    resvg::render(&tree, Transform::from_scale(SCALE, SCALE), &mut pixels.as_mut());
    pixels.encode_png().inspect_err(|error| tracing::error!(%error, "a chart can't be written")).ok()
}
