//! What is sent to the platform. The types keep its limits: what does not fit can't be made.
use super::button::Id;
use super::text::Text;
use serde::Serialize;

/// The flag of an answer that only one person sees.
const PRIVATE: u32 = 1 << 6;

/// The rows of buttons that a message has at most, and the buttons of a row.
const ROWS: usize = 5;
const IN_A_ROW: usize = 5;

/// A message.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Message {
    /// What is read even where embeds are switched off.
    pub content: Text<2000>,
    /// The rest of the answer.
    #[serde(serialize_with = "listed")]
    pub embeds: Option<Embed>,
    /// Ways to ask on.
    pub components: Buttons,
    /// The pictures' descriptions.
    pub attachments: Vec<Attachment>,
    allowed_mentions: NoMentions,
    #[serde(skip_serializing_if = "is_nothing")]
    flags: u32,
}

impl Message {
    /// A message of one sentence.
    pub fn saying(text: &str) -> Self {
        Self { content: Text::marked(text), ..Self::default() }
    }

    /// The same, seen by one person only.
    #[must_use]
    pub fn private(mut self, private: bool) -> Self {
        self.flags = if private { PRIVATE } else { 0 };
        self
    }
}

/// Nobody is called by an answer, whatever stands in it.
#[derive(Clone, Copy, Debug, Default, Serialize)]
struct NoMentions {
    parse: [(); 0],
    replied_user: bool,
}

/// A frame with the answer in it. Its parts together stay below the 6,000 signs that all embeds of a message may have.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Embed {
    /// The question as it was read.
    #[serde(skip_serializing_if = "Text::is_empty")]
    pub title: Text<256>,
    /// Where the answer is always found.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub url: Option<String>,
    /// Numbers and text.
    #[serde(skip_serializing_if = "Text::is_empty")]
    pub description: Text<3600>,
    /// The stripe at its side.
    pub color: u32,
    /// The chart.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub image: Option<Image>,
    /// Where the answer is always found, where that is no address.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub footer: Option<Footer>,
}

/// A picture in an embed.
#[derive(Clone, Debug, Serialize)]
pub struct Image {
    /// Which of the attached.
    pub url: String,
}

/// The last line of an embed.
#[derive(Clone, Debug, Serialize)]
pub struct Footer {
    /// What it says.
    pub text: Text<2048>,
}

/// What is told about an attached picture.
#[derive(Clone, Debug, Serialize)]
pub struct Attachment {
    /// The place among the files.
    pub id: u8,
    /// Its name.
    pub filename: &'static str,
    /// What it shows, for those who can't see it.
    pub description: Text<1024>,
}

/// Rows of buttons, no two alike.
#[derive(Clone, Debug, Default)]
pub struct Buttons(Vec<Button>);

#[derive(Clone, Debug, Serialize)]
struct Button {
    r#type: u8,
    style: u8,
    label: Text<80>,
    custom_id: Id,
}

impl Buttons {
    /// Adds a button where there is room, and none like it yet.
    pub fn add(&mut self, label: &str, id: Option<Id>) {
        let Some(custom_id) = id.filter(|id| self.0.iter().all(|button| button.custom_id != *id)) else { return };
        if self.0.len() < ROWS * IN_A_ROW {
            self.0.push(Button { r#type: 2, style: 2, label: Text::plain(label).or("this"), custom_id });
        }
    }
}

impl Serialize for Buttons {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        #[derive(Serialize)]
        struct Row<'a> {
            r#type: u8,
            components: &'a [Button],
        }
        serializer.collect_seq(self.0.chunks(IN_A_ROW).map(|components| Row { r#type: 1, components }))
    }
}

/// A form with one field.
#[derive(Clone, Debug, Serialize)]
pub struct Form {
    custom_id: Id,
    title: Text<45>,
    components: [Field; 1],
}

#[derive(Clone, Debug, Serialize)]
struct Field {
    r#type: u8,
    components: [Input; 1],
}

#[derive(Clone, Debug, Serialize)]
struct Input {
    r#type: u8,
    custom_id: &'static str,
    label: Text<45>,
    style: u8,
    max_length: u16,
    required: bool,
}

impl Form {
    /// A form that asks for one thing, in one line or in many.
    pub fn new(custom_id: Id, title: &str, label: &str, lines: bool) -> Self {
        let style = if lines { 2 } else { 1 };
        let input = Input {
            r#type: 4,
            custom_id: "words",
            label: Text::plain(label).or("Answer"),
            style,
            max_length: 4000,
            required: true,
        };
        Self {
            custom_id,
            title: Text::plain(title).or("Answer"),
            components: [Field { r#type: 1, components: [input] }],
        }
    }
}

/// A suggestion while an option is typed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Choice {
    /// What is shown.
    pub name: Text<100>,
    /// What is sent.
    pub value: Text<100>,
}

/// The most choices that the platform shows.
pub const CHOICES: usize = 25;

/// A list of at most one, as the platform wants it.
fn listed<S: serde::Serializer>(embed: &Option<Embed>, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_seq(embed)
}

fn is_nothing(flags: &u32) -> bool {
    *flags == 0
}
