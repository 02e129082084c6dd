//! Lists of objects that are read as objects only: the reader would take a list for one, its fields in order, and an empty
//! list for one whose fields may all be absent.
use serde::de::{Deserialize, Deserializer, MapAccess, Visitor, value::MapAccessDeserializer};
use std::{fmt, marker::PhantomData};

/// Reads such a list.
pub(super) fn objects<'de, D: Deserializer<'de>, T: Deserialize<'de>>(deserializer: D) -> Result<Vec<T>, D::Error> {
    let items = Vec::<Object<T>>::deserialize(deserializer)?;
    Ok(items.into_iter().map(|item| item.0).collect())
}

/// The same where the list may be absent.
pub(super) fn some_objects<'de, D: Deserializer<'de>, T: Deserialize<'de>>(
    deserializer: D,
) -> Result<Option<Vec<T>>, D::Error> {
    objects(deserializer).map(Some)
}

struct Object<T>(T);

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Object<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_map(Fields(PhantomData))
    }
}

struct Fields<T>(PhantomData<T>);

impl<'de, T: Deserialize<'de>> Visitor<'de> for Fields<T> {
    type Value = Object<T>;

    fn expecting(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str("an object")
    }

    fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Object<T>, A::Error> {
        T::deserialize(MapAccessDeserializer::new(map)).map(Object)
    }
}
