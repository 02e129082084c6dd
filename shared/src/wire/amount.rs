//! Dice, needs and amounts as JSON writes them.
use super::blast::BlastRequest;
use crate::odds::dice::{Amount, Dice};
use crate::odds::given::Given;
use crate::odds::number::{Exact, Number};
use crate::odds::roll::Needs;
use serde::de::{self, MapAccess, Visitor, value::MapAccessDeserializer};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::fmt;
use utoipa::openapi::schema::{ObjectBuilder, OneOfBuilder, Type};
use utoipa::openapi::{RefOr, Schema};
use utoipa::{PartialSchema, ToSchema};

/// Dice: `"2d6+1"`, `"d8"`, or a plain number.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DiceForm(pub Dice);

/// What a roll needs: `"3+"`, `"7-"`, `"auto"` or `"never"`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NeedsForm(pub Needs);

/// Dice, a plain number, or a distribution worked out before.
#[derive(Clone, Debug, PartialEq)]
pub struct AmountForm(pub Amount);

/// A distribution as input.
#[derive(Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct GivenForm {
    /// Whole values from 0, each once; their chances add up to 1 within 1e-9 and the sum is divided out.
    #[schema(min_items = 1, max_items = 10_001)]
    distribution: Vec<GivenRow>,
    /// Not read: so that an answer can be put back.
    #[serde(default, rename = "expected")]
    _expected: Option<f64>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(default, rename = "deviation")]
    _deviation: Option<f64>,
}

#[derive(Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
struct GivenRow {
    #[schema(maximum = 10_000)]
    value: u32,
    /// A decimal, read as that decimal.
    #[schema(minimum = 0, maximum = 1)]
    chance: Option<f64>,
    /// The exact chance; wins over `chance`.
    #[schema(example = "1/6")]
    fraction: Option<String>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(default, rename = "at_least")]
    _at_least: Option<f64>,
}

/// What reading the rows of a distribution may take: rows times the square of the length of their numbers, in words of the
/// machine.
const MOST_LIMBS: usize = 2_000_000;

impl GivenForm {
    pub(super) fn read(self) -> Result<Given, String> {
        let mut pairs = Vec::with_capacity(self.distribution.len());
        for GivenRow { value, chance, fraction, .. } in self.distribution {
            let weight = match (fraction, chance) {
                (Some(text), _) => Exact::parse(&text).ok_or_else(|| format!("{text:?} is no fraction such as 1/6"))?,
                (None, Some(chance)) => Exact::from_decimal(chance)
                    .ok_or_else(|| format!("a chance lies between 0 and 1, {chance} does not"))?,
                (None, None) => return Err(format!("the row of value {value} has neither chance nor fraction")),
            };
            if weight > Exact::one() {
                return Err(format!("a chance lies between 0 and 1, {weight} does not"));
            }
            if value > 10_000 {
                return Err(format!("values go up to 10000, {value} does not"));
            }
            pairs.push((i64::from(value), weight));
        }
        pairs.sort_by_key(|(value, _)| *value);
        if let Some(twice) = pairs.windows(2).find(|pair| pair[0].0 == pair[1].0) {
            return Err(format!("each value stands once, {} stands twice", twice[0].0));
        }
        let mut total = Exact::zero();
        for (_, weight) in &pairs {
            total.add(weight);
            // Fractions with nothing in common make sums of any length: each row is reckoned with numbers as long.
            let limbs = (total.bits() / 64).saturating_add(1);
            if limbs.saturating_mul(limbs).saturating_mul(pairs.len()) > MOST_LIMBS {
                return Err("these fractions have too little in common for so many rows: give decimals".to_owned());
            }
        }
        if (total.to_f64() - 1.0).abs() > 1e-9 {
            return Err(format!("the chances add up to {}, not to 1", total.to_f64()));
        }
        Given::new(pairs).ok_or_else(|| "at least one row, please".to_owned())
    }
}

/// As requests write it: `2d6+1`, `3`.
impl fmt::Display for AmountForm {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.0 {
            Amount::Dice(dice) => dice.fmt(out),
            Amount::Given(_) => out.write_str(&serde_json::to_string(self).map_err(|_| fmt::Error)?),
        }
    }
}

impl fmt::Display for NeedsForm {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(out)
    }
}

impl AmountForm {
    /// The number that it is, where nothing is rolled or drawn.
    pub fn number(&self) -> Option<u32> {
        match &self.0 {
            Amount::Dice(dice) => dice.as_constant(),
            Amount::Given(_) => None,
        }
    }

    /// Of dice: the lowest and the highest total.
    pub fn reach(&self) -> Option<(i64, i64)> {
        match &self.0 {
            Amount::Dice(dice) => Some(((i64::from(dice.count()) + i64::from(dice.plus())).max(0), dice.highest())),
            Amount::Given(_) => None,
        }
    }
}

impl NeedsForm {
    /// Whether something is rolled for it: neither `auto` nor `never`.
    pub fn is_rolled(self) -> bool {
        !matches!(self.0, Needs::Auto | Needs::Never)
    }
}

impl AttacksForm {
    /// Whether their number is certain.
    pub fn is_fixed(&self) -> bool {
        matches!(self, Self::Amount(amount) if amount.number().is_some())
    }
}

#[derive(Serialize)]
struct GivenOut {
    distribution: Vec<GivenOutRow>,
}

#[derive(Serialize)]
struct GivenOutRow {
    value: i64,
    chance: f64,
    fraction: String,
}

impl Serialize for DiceForm {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self.0.as_constant() {
            Some(constant) => serializer.serialize_u32(constant),
            None => serializer.collect_str(&self.0),
        }
    }
}

impl Serialize for NeedsForm {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(&self.0)
    }
}

impl Serialize for AmountForm {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match &self.0 {
            Amount::Dice(dice) => DiceForm(*dice).serialize(serializer),
            Amount::Given(given) => {
                let row = |(value, chance): &(i64, Exact)| GivenOutRow {
                    value: *value,
                    chance: chance.to_f64(),
                    fraction: chance.to_string(),
                };
                GivenOut { distribution: given.rows().iter().map(row).collect() }.serialize(serializer)
            }
        }
    }
}

/// The amount of a form, or its default.
pub(super) fn amount(form: Option<AmountForm>, default: u16) -> Amount {
    form.map_or_else(|| Amount::fixed(default), |form| form.0)
}

/// The form of an amount; nothing where it is the default.
pub(super) fn amount_form(amount: &Amount, default: u16) -> Option<AmountForm> {
    (*amount != Amount::fixed(default)).then(|| AmountForm(amount.clone()))
}

struct AmountVisitor {
    given: bool,
}

impl<'de> Visitor<'de> for AmountVisitor {
    type Value = Amount;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a whole number or dice such as \"2d6+1\"")?;
        if self.given { f.write_str(", or {\"distribution\": [{\"value\": 1, \"chance\": 0.5}, …]}") } else { Ok(()) }
    }

    fn visit_u64<E: de::Error>(self, value: u64) -> Result<Amount, E> {
        let value = u32::try_from(value).unwrap_or(u32::MAX);
        Dice::constant(value).map(Amount::Dice).map_err(E::custom)
    }

    fn visit_i64<E: de::Error>(self, value: i64) -> Result<Amount, E> {
        Err(E::custom(format!("{value} is below 0; a whole number from 0 or dice such as 2d6+1, please")))
    }

    fn visit_str<E: de::Error>(self, text: &str) -> Result<Amount, E> {
        text.parse().map(Amount::Dice).map_err(|error| E::custom(format!("{text:?}: {error}")))
    }

    fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Amount, A::Error> {
        if !self.given {
            return Err(de::Error::invalid_type(de::Unexpected::Map, &self));
        }
        GivenForm::deserialize(MapAccessDeserializer::new(map))?.read().map(Amount::Given).map_err(de::Error::custom)
    }
}

impl<'de> Deserialize<'de> for AmountForm {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(AmountVisitor { given: true }).map(Self)
    }
}

impl<'de> Deserialize<'de> for DiceForm {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        match deserializer.deserialize_any(AmountVisitor { given: false })? {
            Amount::Dice(dice) => Ok(Self(dice)),
            Amount::Given(_) => Err(de::Error::custom("dice, please")),
        }
    }
}

impl<'de> Deserialize<'de> for NeedsForm {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct NeedsVisitor;
        impl Visitor<'_> for NeedsVisitor {
            type Value = Needs;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("what the roll needs, such as \"3+\", \"7-\", \"auto\" or \"never\"")
            }

            fn visit_str<E: de::Error>(self, text: &str) -> Result<Needs, E> {
                text.parse().map_err(|error| E::custom(format!("{text:?}: {error}")))
            }
        }
        deserializer.deserialize_str(NeedsVisitor).map(Self)
    }
}

impl PartialSchema for DiceForm {
    fn schema() -> RefOr<Schema> {
        let number = ObjectBuilder::new().schema_type(Type::Integer).minimum(Some(0)).maximum(Some(10_000));
        let text = ObjectBuilder::new()
            .schema_type(Type::String)
            .pattern(Some("^([0-9]+|[0-9]*[dD][0-9]+([+-][0-9]+)?)$"))
            .description(Some("1 to 100 dice of 2 to 100 sides, and up to 1000 added or taken off"));
        OneOfBuilder::new().item(number).item(text).examples(["2d6+1"]).into()
    }
}

impl ToSchema for DiceForm {}

impl PartialSchema for AmountForm {
    fn schema() -> RefOr<Schema> {
        OneOfBuilder::new().item(DiceForm::schema()).item(GivenForm::schema()).examples(["2d6+1"]).into()
    }
}

impl ToSchema for AmountForm {
    fn schemas(schemas: &mut Vec<(String, RefOr<Schema>)>) {
        GivenForm::schemas(schemas);
    }
}

impl PartialSchema for NeedsForm {
    fn schema() -> RefOr<Schema> {
        ObjectBuilder::new()
            .schema_type(Type::String)
            .pattern(Some("^([0-9]{1,5}[+-]|auto|never)$"))
            .description(Some("`t+` (at least), `t-` (at most) with t from 1 to 10000, `auto` or `never`"))
            .examples(["3+"])
            .into()
    }
}

impl ToSchema for NeedsForm {}

/// How many attacks: dice, a plain number, a distribution, or as many as a template catches.
#[derive(Clone, Debug, PartialEq)]
pub enum AttacksForm {
    /// Rolled or drawn.
    Amount(AmountForm),
    /// As many as a template catches.
    Blast(Box<BlastRequest>),
}

#[derive(Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
struct BlastPart {
    blast: Box<BlastRequest>,
}

impl Serialize for AttacksForm {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Amount(amount) => amount.serialize(serializer),
            Self::Blast(blast) => BlastPart { blast: blast.clone() }.serialize(serializer),
        }
    }
}

impl<'de> Deserialize<'de> for AttacksForm {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct AttacksVisitor;
        impl<'de> Visitor<'de> for AttacksVisitor {
            type Value = AttacksForm;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a whole number, dice such as \"2d6+1\", {\"distribution\": […]} or {\"blast\": {…}}")
            }

            fn visit_u64<E: de::Error>(self, value: u64) -> Result<AttacksForm, E> {
                AmountVisitor { given: true }.visit_u64(value).map(|amount| AttacksForm::Amount(AmountForm(amount)))
            }

            fn visit_i64<E: de::Error>(self, value: i64) -> Result<AttacksForm, E> {
                AmountVisitor { given: true }.visit_i64(value).map(|amount| AttacksForm::Amount(AmountForm(amount)))
            }

            fn visit_str<E: de::Error>(self, text: &str) -> Result<AttacksForm, E> {
                AmountVisitor { given: true }.visit_str(text).map(|amount| AttacksForm::Amount(AmountForm(amount)))
            }

            fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<AttacksForm, A::Error> {
                let either = EitherForm::deserialize(MapAccessDeserializer::new(map))?;
                match (either.blast, either.distribution) {
                    (Some(blast), None) => Ok(AttacksForm::Blast(blast)),
                    (None, Some(distribution)) => {
                        let given = GivenForm { distribution, _expected: None, _deviation: None };
                        let given = given.read().map_err(de::Error::custom)?;
                        Ok(AttacksForm::Amount(AmountForm(Amount::Given(given))))
                    }
                    _ => Err(de::Error::custom("attacks are a distribution or a blast")),
                }
            }
        }
        deserializer.deserialize_any(AttacksVisitor)
    }
}

/// A distribution or a blast, told apart by what is there.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct EitherForm {
    distribution: Option<Vec<GivenRow>>,
    blast: Option<Box<BlastRequest>>,
    #[serde(default, rename = "expected")]
    _expected: Option<f64>,
    #[serde(default, rename = "deviation")]
    _deviation: Option<f64>,
}

impl PartialSchema for AttacksForm {
    fn schema() -> RefOr<Schema> {
        OneOfBuilder::new()
            .item(DiceForm::schema())
            .item(GivenForm::schema())
            .item(BlastPart::schema())
            .examples(["2d6+1"])
            .into()
    }
}

impl ToSchema for AttacksForm {
    fn schemas(schemas: &mut Vec<(String, RefOr<Schema>)>) {
        GivenForm::schemas(schemas);
        BlastPart::schemas(schemas);
    }
}
