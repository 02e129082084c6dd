//! The colours of everything that Pipwright draws, readable in light and dark.
//!
//! The two colours of bars are a blue and an ochre, which people with any of the common kinds of colour blindness tell
//! apart; a pattern says the same for those who see no colour.

/// A colour as `#rrggbb`.
pub type Colour = &'static str;

/// On what one looks.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Theme {
    /// Dark ink on paper.
    #[default]
    Light,
    /// Chalk on slate.
    Dark,
}

/// The colours of a theme.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Palette {
    /// The ground.
    pub paper: Colour,
    /// A ground that is set off from it, of answers and fields.
    pub slip: Colour,
    /// Text.
    pub ink: Colour,
    /// Text of less weight.
    pub pale_ink: Colour,
    /// Bars that the question is about; also what can be pressed.
    pub strong: Colour,
    /// The other bars.
    pub faint: Colour,
    /// The ruled lines, which carry no meaning alone.
    pub rule: Colour,
    /// What went wrong.
    pub alarm: Colour,
}

/// Dark ink on paper.
const LIGHT: Palette = Palette {
    paper: "#f7f2e4",
    slip: "#fffdf6",
    ink: "#22302c",
    pale_ink: "#55605a",
    strong: "#1c4f86",
    faint: "#94590a",
    rule: "#d3ccb4",
    alarm: "#9c2b1f",
};

/// Chalk on slate.
const DARK: Palette = Palette {
    paper: "#1a2422",
    slip: "#22302d",
    ink: "#efe9d8",
    pale_ink: "#b5bcae",
    strong: "#93c3f0",
    faint: "#e0a64c",
    rule: "#3c4b46",
    alarm: "#f2a08f",
};

impl Theme {
    /// Its colours.
    pub fn palette(self) -> &'static Palette {
        match self {
            Self::Light => &LIGHT,
            Self::Dark => &DARK,
        }
    }
}

impl Palette {
    /// Every colour by its name.
    pub fn colours(&self) -> [(&'static str, Colour); 8] {
        [
            ("paper", self.paper),
            ("slip", self.slip),
            ("ink", self.ink),
            ("pale-ink", self.pale_ink),
            ("strong", self.strong),
            ("faint", self.faint),
            ("rule", self.rule),
            ("alarm", self.alarm),
        ]
    }
}
