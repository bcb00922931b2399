//! Desks to begin a test with. The demo is taken in once for all tests; each gets a copy of the file.

use likewear::facade::app::{App, StartWith};
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

/// A app over a new file.
pub(crate) async fn desk_at(path: &Path, start_with: StartWith) -> App {
    if start_with == StartWith::Demo {
        std::fs::copy(demo_file(), path).unwrap();
        return App::open(path).await.unwrap();
    }
    App::create(path, start_with).await.unwrap()
}

fn demo_file() -> &'static Path {
    static FILE: OnceLock<PathBuf> = OnceLock::new();
    FILE.get_or_init(|| {
        // a runtime of its own: the tests that wait for the file are inside theirs
        let made = std::thread::spawn(|| {
            let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("demo-{}.db", std::process::id()));
            let runtime = tokio::runtime::Runtime::new().unwrap();
            runtime.block_on(async {
                let app = App::create(&path, StartWith::Demo).await.unwrap();
                app.close().await.unwrap();
            });
            path
        });
        made.join().unwrap()
    })
}
