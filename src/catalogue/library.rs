//! The built-in methods. Adding one is adding one file to `methods/`.

use crate::catalogue::{FileFault, Method, method_from_toml};
use include_dir::{Dir, include_dir};
use std::sync::LazyLock;

static FILES: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/src/catalogue/methods");

/// Built-in methods sorted by id. A file that is not a method is left out here and fails a test.
static METHODS: LazyLock<Vec<Method>> = LazyLock::new(|| {
    let mut methods: Vec<Method> = read_all()
        .into_iter()
        .filter_map(|(_, method)| method.ok())
        .collect();
    methods.sort_by(|a, b| a.id.cmp(&b.id));
    methods
});

fn read_all() -> Vec<(String, Result<Method, FileFault>)> {
    let mut read = Vec::new();
    for file in FILES.files() {
        let name = file.path().display().to_string();
        let text = file.contents_utf8().unwrap_or_default();
        read.push((name, method_from_toml(text)));
    }
    read
}

/// All built-in methods, sorted by id.
pub fn built_in() -> &'static [Method] {
    &METHODS
}

/// The built-in method that a text names by its id.
pub fn built_in_method(id: &str) -> Option<&'static Method> {
    METHODS.iter().find(|method| method.id.as_str() == id)
}

/// The file of the built-in method with an id, as it was written.
pub fn built_in_text(id: &str) -> Option<&'static str> {
    built_in_method(id)?;
    FILES.get_file(format!("{id}.toml"))?.contents_utf8()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::Use;

    #[test]
    fn every_file_is_a_method_named_after_its_id() {
        for (name, method) in read_all() {
            let method = method.unwrap_or_else(|fault| panic!("{name}: {fault:?}"));
            assert_eq!(name, format!("{}.toml", method.id));
        }
    }

    #[test]
    fn every_method_says_what_a_reader_needs() {
        assert!(!built_in().is_empty());
        for method in built_in() {
            let id = &method.id;
            assert!(!method.caution.is_empty(), "{id}: no caution");
            assert!(!method.conditions.is_empty(), "{id}: no conditions");
            for quantity in &method.quantities {
                let weighed = quantity.usual_use == Use::Weigh;
                assert!(
                    !weighed || method.has_contact(),
                    "{id}/{}: weighed without a contact",
                    quantity.id
                );
                assert!(!quantity.modes.is_empty(), "{id}/{}: scores no mode", quantity.id);
                let explained = quantity.precision.is_some() || !quantity.precision_note.is_empty();
                assert!(
                    explained,
                    "{id}/{}: precision neither given nor said to be missing",
                    quantity.id
                );
            }
        }
    }
}
