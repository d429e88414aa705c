//! The built page, and a server for its folder on a free port of this machine.

use std::env;
use std::future::IntoFuture;
use std::net::SocketAddr;
use std::path::{Path, PathBuf};

use axum::Router;
use tokio::net::TcpListener;
use tokio::runtime::Runtime;
use tower_http::services::ServeDir;

/// The folder that cargo builds into, with the built page in its `site`.
pub fn target_dir() -> PathBuf {
    let workspace = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    workspace.join(env::var_os("CARGO_TARGET_DIR").unwrap_or_else(|| "target".into()))
}

/// The folder of the built page.
///
/// # Panics
/// When the page has not been built.
pub fn built() -> PathBuf {
    let folder = target_dir().join("site");
    assert!(
        folder.join("index.html").is_file(),
        "The page is not built: there is no index.html in {}. Run app/serve --build-only first.",
        folder.display()
    );
    folder
}

/// Serves a folder for as long as the runtime lives, and answers where.
pub fn serve(runtime: &Runtime, folder: &Path) -> SocketAddr {
    let files = Router::new().fallback_service(ServeDir::new(folder));
    runtime.block_on(async {
        let listener = TcpListener::bind(("127.0.0.1", 0)).await.expect("a free port on 127.0.0.1");
        let address = listener.local_addr().expect("the port just bound");
        tokio::spawn(axum::serve(listener, files).into_future());
        address
    })
}
