//! Figures with their origin, points and shapes as they stand in the file.

use base64::{Engine as _, engine::general_purpose::STANDARD};
use serde::{Deserialize, Deserializer, Serialize, Serializer, de::Error as _};
use std::sync::Arc;

/// x, y.
pub(crate) type Two = (f64, f64);
/// x, y, z.
pub(crate) type Three = (f64, f64, f64);

#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub(crate) enum Origin {
    Measured,
    Stated,
    Assumed,
}
/// `(0.5, Assumed, "2026-01-31")`; the date may be left out.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct Sourced<T>(pub T, pub Origin, #[serde(default)] pub String);

/// `(x, y)`, or `(x, y, bulge)` where an arc starts.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub(crate) struct Vertex(pub f64, pub f64, #[serde(default)] pub f64);

/// Bytes as base64, in the text one word.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Packed(pub Arc<[u8]>);

impl Serialize for Packed {
    fn serialize<S: Serializer>(&self, writer: S) -> Result<S::Ok, S::Error> {
        writer.serialize_str(&STANDARD.encode(&self.0))
    }
}
impl<'de> Deserialize<'de> for Packed {
    fn deserialize<D: Deserializer<'de>>(reader: D) -> Result<Self, D::Error> {
        let text = String::deserialize(reader)?;
        let bytes = STANDARD.decode(text).map_err(|_| D::Error::custom("it is not base64 (RFC 4648)"))?;
        Ok(Self(bytes.into()))
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) enum Shape {
    Round { diameter: f64 },
    Long { length: f64, width: f64 },
    Rectangle { length: f64, width: f64, corner: f64 },
}

/// What stands in the text without `Some`.
pub(super) fn there<'de, D: Deserializer<'de>, T: Deserialize<'de>>(
    reader: D,
) -> Result<Option<T>, D::Error> {
    T::deserialize(reader).map(Some)
}
/// Stands in the text without `Some`.
pub(super) fn bare<S: Serializer, T: Serialize>(thing: &Option<T>, writer: S) -> Result<S::Ok, S::Error> {
    match thing {
        Some(thing) => thing.serialize(writer),
        None => writer.serialize_none(),
    }
}
