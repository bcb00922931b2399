//! Desks to begin a test with. The demo is taken in once for all tests; each gets a copy of the file.

use likewear::desk::{Desk, StartWith};
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

/// A desk over a new file.
pub(crate) async fn desk_at(path: &Path, start_with: StartWith) -> Desk {
    if start_with == StartWith::Demo {
        std::fs::copy(demo_file(), path).unwrap();
        return Desk::open(path).await.unwrap();
    }
    Desk::create(path, start_with).await.unwrap()
}

fn demo_file() -> &'static Path {
    static FILE: OnceLock<PathBuf> = OnceLock::new();
    FILE.get_or_init(|| {
        // a runtime of its own: the tests that wait for the file are inside theirs
        let made = std::thread::spawn(|| {
            let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("demo-{}.db", std::process::id()));
            let runtime = tokio::runtime::Runtime::new().unwrap();
            runtime.block_on(async {
                let desk = Desk::create(&path, StartWith::Demo).await.unwrap();
                desk.close().await.unwrap();
            });
            path
        });
        made.join().unwrap()
    })
}
