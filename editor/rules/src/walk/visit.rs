//! The walk itself: a serialiser that keeps nothing but what is looked for.

use std::{fmt, fmt::Write as _, rc::Rc};

use serde::ser::{self, Impossible, Serialize, Serializer};

use super::{Shape, SourcedAt, Struct, StructKind, Walk};

/// Walks a document.
pub(super) fn visit<T: Serialize>(shape: &'static Shape, document: &T, walk: &mut Walk) {
    let mut place = String::with_capacity(128);
    // The only error would be our own, and there is none.
    let _ = document.serialize(Node {
        shape,
        walk,
        place: &mut place,
    });
}

/// One part of the document and what is looked for in it.
struct Node<'a> {
    shape: &'static Shape,
    walk: &'a mut Walk,
    place: &'a mut String,
}

type Outcome = Result<(), fmt::Error>;

macro_rules! nothing {
    ($($name:ident $type:ty),* $(,)?) => {$(
        fn $name(self, _: $type) -> Outcome {
            Ok(())
        }
    )*};
}

impl<'a> Serializer for Node<'a> {
    type Ok = ();
    type Error = fmt::Error;
    type SerializeSeq = Items<'a>;
    type SerializeTuple = Impossible<(), fmt::Error>;
    type SerializeTupleStruct = Impossible<(), fmt::Error>;
    type SerializeTupleVariant = Impossible<(), fmt::Error>;
    type SerializeMap = Strings<'a>;
    type SerializeStruct = Fields<'a>;
    type SerializeStructVariant = Impossible<(), fmt::Error>;

    nothing! {
        serialize_bool bool, serialize_i8 i8, serialize_i16 i16, serialize_i32 i32, serialize_i64 i64, serialize_u8 u8,
        serialize_u16 u16, serialize_u32 u32, serialize_u64 u64, serialize_f32 f32, serialize_f64 f64, serialize_char char,
        serialize_bytes &[u8], serialize_unit_struct &'static str,
    }

    fn serialize_str(self, string: &str) -> Outcome {
        if let Shape::Reference(of) = self.shape {
            self.walk.refer(of, string);
        }
        Ok(())
    }

    fn serialize_none(self) -> Outcome {
        Ok(())
    }

    fn serialize_some<T: Serialize + ?Sized>(self, value: &T) -> Outcome {
        value.serialize(self)
    }

    fn serialize_unit(self) -> Outcome {
        Ok(())
    }

    fn serialize_unit_variant(self, _: &'static str, _: u32, _: &'static str) -> Outcome {
        Ok(())
    }

    fn serialize_newtype_struct<T: Serialize + ?Sized>(
        self,
        _: &'static str,
        value: &T,
    ) -> Outcome {
        value.serialize(self)
    }

    fn serialize_newtype_variant<T: Serialize + ?Sized>(
        self,
        _: &'static str,
        _: u32,
        _: &'static str,
        _: &T,
    ) -> Outcome {
        Ok(())
    }

    fn serialize_seq(self, _: Option<usize>) -> Result<Items<'a>, fmt::Error> {
        Ok(Items {
            node: self,
            index: 0,
        })
    }

    fn serialize_map(self, _: Option<usize>) -> Result<Strings<'a>, fmt::Error> {
        let is_text = matches!(self.shape, Shape::Text);
        if is_text {
            self.walk.texts.start(self.place);
        }
        Ok(Strings {
            walk: self.walk,
            is_text,
        })
    }

    fn serialize_struct(self, _: &'static str, _: usize) -> Result<Fields<'a>, fmt::Error> {
        Ok(Fields::new(self))
    }

    // Tuples and variants with content are quantities and the like, which hold nothing of interest and are passed over
    // before they get here.
    fn serialize_tuple(self, _: usize) -> Result<Self::SerializeTuple, fmt::Error> {
        Err(fmt::Error)
    }

    fn serialize_tuple_struct(
        self,
        _: &'static str,
        _: usize,
    ) -> Result<Self::SerializeTupleStruct, fmt::Error> {
        Err(fmt::Error)
    }

    fn serialize_tuple_variant(
        self,
        _: &'static str,
        _: u32,
        _: &'static str,
        _: usize,
    ) -> Result<Self::SerializeTupleVariant, fmt::Error> {
        Err(fmt::Error)
    }

    fn serialize_struct_variant(
        self,
        _: &'static str,
        _: u32,
        _: &'static str,
        _: usize,
    ) -> Result<Self::SerializeStructVariant, fmt::Error> {
        Err(fmt::Error)
    }
}

/// The items of a list.
struct Items<'a> {
    node: Node<'a>,
    index: usize,
}

impl ser::SerializeSeq for Items<'_> {
    type Ok = ();
    type Error = fmt::Error;

    fn serialize_element<T: Serialize + ?Sized>(&mut self, value: &T) -> Outcome {
        let Shape::List(shape) = self.node.shape else {
            return Ok(());
        };
        let length = self.node.place.len();
        write!(self.node.place, "/{}", self.index)?;
        self.index += 1;
        value.serialize(Node {
            shape,
            walk: self.node.walk,
            place: self.node.place,
        })?;
        self.node.place.truncate(length);
        Ok(())
    }

    fn end(self) -> Outcome {
        Ok(())
    }
}

/// The strings of a text.
struct Strings<'a> {
    walk: &'a mut Walk,
    is_text: bool,
}

impl ser::SerializeMap for Strings<'_> {
    type Ok = ();
    type Error = fmt::Error;

    fn serialize_key<T: Serialize + ?Sized>(&mut self, key: &T) -> Outcome {
        if self.is_text {
            key.serialize(Catch(|tag: &str| self.walk.texts.language(tag)))
        } else {
            Ok(())
        }
    }

    fn serialize_value<T: Serialize + ?Sized>(&mut self, value: &T) -> Outcome {
        if self.is_text {
            value.serialize(Catch(|string: &str| self.walk.texts.string(string)))
        } else {
            Ok(())
        }
    }

    fn end(self) -> Outcome {
        Ok(())
    }
}

/// The fields of a struct.
struct Fields<'a> {
    shape: Option<&'static Struct>,
    walk: &'a mut Walk,
    place: &'a mut String,
    /// Where this struct's own entry and those inside it begin.
    values_from: usize,
    statements_from: usize,
    source: Option<Rc<str>>,
}

impl<'a> Fields<'a> {
    fn new(node: Node<'a>) -> Self {
        let Node { shape, walk, place } = node;
        let shape = match shape {
            Shape::Struct(shape) => Some(shape),
            _ => None,
        };
        let (values_from, statements_from) = (walk.values.len(), walk.statements.len());
        let entry = || SourcedAt {
            place: place.clone(),
            source: None,
            doubt: false,
        };
        match shape.map(|s| s.kind) {
            Some(StructKind::Value) => walk.values.push(entry()),
            Some(StructKind::Statement) => walk.statements.push(entry()),
            Some(StructKind::Plain) | None => {}
        }
        Self {
            shape,
            walk,
            place,
            values_from,
            statements_from,
            source: None,
        }
    }
}

impl ser::SerializeStruct for Fields<'_> {
    type Ok = ();
    type Error = fmt::Error;

    fn serialize_field<T: Serialize + ?Sized>(&mut self, name: &'static str, value: &T) -> Outcome {
        let Some(shape) = self.shape else {
            return Ok(());
        };
        if name == "plus_minus" && shape.kind == StructKind::Value {
            if let Some(own) = self.walk.values.get_mut(self.values_from) {
                own.doubt = true;
            }
            return Ok(());
        }
        let Ok(at) = shape
            .fields
            .binary_search_by(|(field, _)| field.as_str().cmp(name))
        else {
            return Ok(());
        };
        let Some((_, inner)) = shape.fields.get(at) else {
            return Ok(());
        };
        if name == "source" && shape.kind != StructKind::Plain {
            value.serialize(Catch(|id: &str| {
                self.walk.refer("source", id);
                self.source = Some(id.into());
            }))?;
            return Ok(());
        }
        let length = self.place.len();
        self.place.push('/');
        // No field of the model holds a tilde or a slash, so nothing needs escaping (RFC 6901, section 3).
        self.place.push_str(name);
        value.serialize(Node {
            shape: inner,
            walk: self.walk,
            place: self.place,
        })?;
        self.place.truncate(length);
        Ok(())
    }

    /// What lies inside and names no source of its own rests on this struct's.
    fn end(self) -> Outcome {
        if let Some(source) = self.source {
            let values = self.walk.values.iter_mut().skip(self.values_from);
            let statements = self.walk.statements.iter_mut().skip(self.statements_from);
            for entry in values.chain(statements).filter(|e| e.source.is_none()) {
                entry.source = Some(Rc::clone(&source));
            }
        }
        Ok(())
    }
}

/// Hands a string on and passes everything else over.
struct Catch<F>(F);

impl<F: FnMut(&str)> Serializer for Catch<F> {
    type Ok = ();
    type Error = fmt::Error;
    type SerializeSeq = Impossible<(), fmt::Error>;
    type SerializeTuple = Impossible<(), fmt::Error>;
    type SerializeTupleStruct = Impossible<(), fmt::Error>;
    type SerializeTupleVariant = Impossible<(), fmt::Error>;
    type SerializeMap = Impossible<(), fmt::Error>;
    type SerializeStruct = Impossible<(), fmt::Error>;
    type SerializeStructVariant = Impossible<(), fmt::Error>;

    nothing! {
        serialize_bool bool, serialize_i8 i8, serialize_i16 i16, serialize_i32 i32, serialize_i64 i64, serialize_u8 u8,
        serialize_u16 u16, serialize_u32 u32, serialize_u64 u64, serialize_f32 f32, serialize_f64 f64, serialize_char char,
        serialize_bytes &[u8], serialize_unit_struct &'static str,
    }

    fn serialize_str(mut self, string: &str) -> Outcome {
        (self.0)(string);
        Ok(())
    }

    fn serialize_none(self) -> Outcome {
        Ok(())
    }

    fn serialize_some<T: Serialize + ?Sized>(self, value: &T) -> Outcome {
        value.serialize(self)
    }

    fn serialize_unit(self) -> Outcome {
        Ok(())
    }

    fn serialize_unit_variant(self, _: &'static str, _: u32, _: &'static str) -> Outcome {
        Ok(())
    }

    fn serialize_newtype_struct<T: Serialize + ?Sized>(
        self,
        _: &'static str,
        value: &T,
    ) -> Outcome {
        value.serialize(self)
    }

    fn serialize_newtype_variant<T: Serialize + ?Sized>(
        self,
        _: &'static str,
        _: u32,
        _: &'static str,
        _: &T,
    ) -> Outcome {
        Ok(())
    }

    fn serialize_seq(self, _: Option<usize>) -> Result<Self::SerializeSeq, fmt::Error> {
        Err(fmt::Error)
    }

    fn serialize_tuple(self, _: usize) -> Result<Self::SerializeTuple, fmt::Error> {
        Err(fmt::Error)
    }

    fn serialize_tuple_struct(
        self,
        _: &'static str,
        _: usize,
    ) -> Result<Self::SerializeTupleStruct, fmt::Error> {
        Err(fmt::Error)
    }

    fn serialize_tuple_variant(
        self,
        _: &'static str,
        _: u32,
        _: &'static str,
        _: usize,
    ) -> Result<Self::SerializeTupleVariant, fmt::Error> {
        Err(fmt::Error)
    }

    fn serialize_map(self, _: Option<usize>) -> Result<Self::SerializeMap, fmt::Error> {
        Err(fmt::Error)
    }

    fn serialize_struct(
        self,
        _: &'static str,
        _: usize,
    ) -> Result<Self::SerializeStruct, fmt::Error> {
        Err(fmt::Error)
    }

    fn serialize_struct_variant(
        self,
        _: &'static str,
        _: u32,
        _: &'static str,
        _: usize,
    ) -> Result<Self::SerializeStructVariant, fmt::Error> {
        Err(fmt::Error)
    }
}
