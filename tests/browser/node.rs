//! The two packages for node that `package.json` beside this file asks for.

use std::path::{Path, PathBuf};

/// Where they are.
pub(crate) struct NodeTools {
    pub(crate) folder: PathBuf,
}

impl NodeTools {
    /// The accessibility engine, to be run inside a page.
    pub(crate) fn axe(&self) -> String {
        std::fs::read_to_string(self.folder.join("node_modules/axe-core/axe.min.js")).unwrap()
    }
}

/// The packages; `None`, with words, where they are not installed.
pub(crate) fn node_tools() -> Option<NodeTools> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/browser");
    let is_there =
        folder.join("node_modules/html-validate").exists() && folder.join("node_modules/axe-core").exists();
    if !is_there {
        println!("NOT RUN: no node packages: npm ci --prefix tests/browser");
        let on_ci = std::env::var("CI").is_ok_and(|value| value == "true");
        assert!(
            !on_ci,
            "the gate must run the checks of accessibility and of HTML"
        );
    }
    is_there.then_some(NodeTools { folder })
}
