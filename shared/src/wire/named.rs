//! A reader in which what has named fields is an object. The reader of JSON would take a list for one, its fields in order,
//! and an empty list for one whose fields may all be absent.
//!
//! It stands around another reader and lets everything through but that. What is kept to be tried against several shapes,
//! as with `untagged`, is read by another one inside: there `object` below is asked for by name.
use serde::de::{
    Deserialize, DeserializeSeed, Deserializer, EnumAccess, Error, MapAccess, SeqAccess, Unexpected, VariantAccess,
    Visitor, value::MapAccessDeserializer,
};
use std::{fmt, marker::PhantomData};

/// Around a reader, a list, the members of an object, or what waits to be read.
pub(super) struct Named<D>(pub D);

/// Around what takes a value, with whether that must be an object.
struct Taking<V> {
    inner: V,
    object: bool,
}

impl<V> Taking<V> {
    fn any(inner: V) -> Self {
        Self { inner, object: false }
    }
}

/// Lets these calls through, with what takes the value wrapped.
macro_rules! let_through {
    ($($method:ident($($name:ident: $type:ty),*)),* $(,)?) => {
        $(fn $method<V: Visitor<'de>>(self, $($name: $type,)* visitor: V) -> Result<V::Value, D::Error> {
            self.0.$method($($name,)* Taking::any(visitor))
        })*
    };
}

impl<'de, D: Deserializer<'de>> Deserializer<'de> for Named<D> {
    type Error = D::Error;

    let_through! {
        deserialize_any(), deserialize_bool(), deserialize_i8(), deserialize_i16(), deserialize_i32(), deserialize_i64(),
        deserialize_i128(), deserialize_u8(), deserialize_u16(), deserialize_u32(), deserialize_u64(), deserialize_u128(),
        deserialize_f32(), deserialize_f64(), deserialize_char(), deserialize_str(), deserialize_string(),
        deserialize_bytes(), deserialize_byte_buf(), deserialize_option(), deserialize_unit(),
        deserialize_unit_struct(name: &'static str), deserialize_newtype_struct(name: &'static str), deserialize_seq(),
        deserialize_tuple(length: usize), deserialize_tuple_struct(name: &'static str, length: usize), deserialize_map(),
        deserialize_enum(name: &'static str, variants: &'static [&'static str]), deserialize_identifier(),
        deserialize_ignored_any(),
    }

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        name: &'static str,
        fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, D::Error> {
        self.0.deserialize_struct(name, fields, Taking { inner: visitor, object: true })
    }

    fn is_human_readable(&self) -> bool {
        self.0.is_human_readable()
    }
}

/// Lets plain values through.
macro_rules! plain {
    ($($method:ident: $type:ty),* $(,)?) => {
        $(fn $method<E: Error>(self, value: $type) -> Result<V::Value, E> {
            self.inner.$method(value)
        })*
    };
}

impl<'de, V: Visitor<'de>> Visitor<'de> for Taking<V> {
    type Value = V::Value;

    fn expecting(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.inner.expecting(out)
    }

    plain! {
        visit_bool: bool, visit_i8: i8, visit_i16: i16, visit_i32: i32, visit_i64: i64, visit_i128: i128, visit_u8: u8,
        visit_u16: u16, visit_u32: u32, visit_u64: u64, visit_u128: u128, visit_f32: f32, visit_f64: f64, visit_char: char,
        visit_str: &str, visit_borrowed_str: &'de str, visit_string: String, visit_bytes: &[u8],
        visit_borrowed_bytes: &'de [u8], visit_byte_buf: Vec<u8>,
    }

    fn visit_none<E: Error>(self) -> Result<V::Value, E> {
        self.inner.visit_none()
    }

    fn visit_some<D: Deserializer<'de>>(self, value: D) -> Result<V::Value, D::Error> {
        self.inner.visit_some(Named(value))
    }

    fn visit_unit<E: Error>(self) -> Result<V::Value, E> {
        self.inner.visit_unit()
    }

    fn visit_newtype_struct<D: Deserializer<'de>>(self, value: D) -> Result<V::Value, D::Error> {
        self.inner.visit_newtype_struct(Named(value))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, items: A) -> Result<V::Value, A::Error> {
        if self.object {
            return Err(A::Error::invalid_type(Unexpected::Seq, &self.inner));
        }
        self.inner.visit_seq(Named(items))
    }

    fn visit_map<A: MapAccess<'de>>(self, members: A) -> Result<V::Value, A::Error> {
        self.inner.visit_map(Named(members))
    }

    fn visit_enum<A: EnumAccess<'de>>(self, data: A) -> Result<V::Value, A::Error> {
        self.inner.visit_enum(Named(data))
    }
}

impl<'de, S: DeserializeSeed<'de>> DeserializeSeed<'de> for Named<S> {
    type Value = S::Value;

    fn deserialize<D: Deserializer<'de>>(self, reader: D) -> Result<S::Value, D::Error> {
        self.0.deserialize(Named(reader))
    }
}

impl<'de, A: SeqAccess<'de>> SeqAccess<'de> for Named<A> {
    type Error = A::Error;

    fn next_element_seed<S: DeserializeSeed<'de>>(&mut self, seed: S) -> Result<Option<S::Value>, A::Error> {
        self.0.next_element_seed(Named(seed))
    }

    fn size_hint(&self) -> Option<usize> {
        self.0.size_hint()
    }
}

impl<'de, A: MapAccess<'de>> MapAccess<'de> for Named<A> {
    type Error = A::Error;

    fn next_key_seed<S: DeserializeSeed<'de>>(&mut self, seed: S) -> Result<Option<S::Value>, A::Error> {
        self.0.next_key_seed(seed)
    }

    fn next_value_seed<S: DeserializeSeed<'de>>(&mut self, seed: S) -> Result<S::Value, A::Error> {
        self.0.next_value_seed(Named(seed))
    }

    fn size_hint(&self) -> Option<usize> {
        self.0.size_hint()
    }
}

impl<'de, A: EnumAccess<'de>> EnumAccess<'de> for Named<A> {
    type Error = A::Error;
    type Variant = Named<A::Variant>;

    fn variant_seed<S: DeserializeSeed<'de>>(self, seed: S) -> Result<(S::Value, Self::Variant), A::Error> {
        self.0.variant_seed(seed).map(|(value, variant)| (value, Named(variant)))
    }
}

impl<'de, A: VariantAccess<'de>> VariantAccess<'de> for Named<A> {
    type Error = A::Error;

    fn unit_variant(self) -> Result<(), A::Error> {
        self.0.unit_variant()
    }

    fn newtype_variant_seed<S: DeserializeSeed<'de>>(self, seed: S) -> Result<S::Value, A::Error> {
        self.0.newtype_variant_seed(Named(seed))
    }

    fn tuple_variant<V: Visitor<'de>>(self, length: usize, visitor: V) -> Result<V::Value, A::Error> {
        self.0.tuple_variant(length, Taking::any(visitor))
    }

    fn struct_variant<V: Visitor<'de>>(
        self,
        fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, A::Error> {
        self.0.struct_variant(fields, Taking { inner: visitor, object: true })
    }
}

/// Reads one object, and nothing else for it: for a shape among several.
pub(super) fn object<'de, D: Deserializer<'de>, T: Deserialize<'de>>(reader: D) -> Result<T, D::Error> {
    reader.deserialize_map(Fields(PhantomData))
}

struct Fields<T>(PhantomData<T>);

impl<'de, T: Deserialize<'de>> Visitor<'de> for Fields<T> {
    type Value = T;

    fn expecting(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str("an object")
    }

    fn visit_map<A: MapAccess<'de>>(self, members: A) -> Result<T, A::Error> {
        T::deserialize(MapAccessDeserializer::new(Named(members)))
    }
}
