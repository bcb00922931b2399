//! One served archive with its own browser: started for one test, ended with it.

use fantoccini::{Client, ClientBuilder, Locator};
use hyper_util::client::legacy::connect::HttpConnector;
use serde_json::{Value, json};
use std::io::{BufRead, BufReader};
use std::net::TcpListener;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

/// Whether the browser runs scripts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Scripting {
    On,
    Off,
}

/// A process that ends when the test does, also when it fails.
struct Ended(Child);

impl Drop for Ended {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

/// A server on a file of its own, a driver, a browser.
pub(crate) struct Bench {
    pub(crate) client: Client,
    address: String,
    driver_port: u16,
    _server: Ended,
    _driver: Ended,
    _folder: tempfile::TempDir,
}

impl Bench {
    /// Starts all three.
    pub(crate) async fn start(scripting: Scripting) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let (server, address) = serve(&folder);
        let driver_port = free_port();
        let driver = Command::new("/usr/bin/chromedriver")
            .arg(format!("--port={driver_port}"))
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let driver = Ended(driver);
        let client = connect(driver_port, scripting, &folder).await;
        Self {
            client,
            address,
            driver_port,
            _server: server,
            _driver: driver,
            _folder: folder,
        }
    }

    /// Opens a page and waits until it is there.
    pub(crate) async fn open(&self, path: &str) {
        self.client
            .goto(&format!("{}{path}", self.address))
            .await
            .unwrap();
    }

    /// A phone's width.
    pub(crate) async fn phone(&self) {
        self.driver_command(
            "Emulation.setDeviceMetricsOverride",
            json!({"width": 390, "height": 844, "deviceScaleFactor": 2, "mobile": true}),
        )
        .await;
    }

    /// What a script of the test itself returns.
    pub(crate) async fn script(&self, script: &str) -> Value {
        self.client.execute(script, Vec::new()).await.unwrap()
    }

    /// Pastes rows into the form of an import and asks what they would do.
    pub(crate) async fn paste(&self, rows: &str) {
        let page = &self.client;
        let text = page.find(Locator::Css("textarea[name='text']")).await.unwrap();
        text.clear().await.unwrap();
        text.send_keys(rows).await.unwrap();
        let ask = page.find(Locator::Css("[data-import-form] button"));
        ask.await.unwrap().click().await.unwrap();
    }

    /// A command of the browser's own protocol, over the driver.
    async fn driver_command(&self, name: &str, parameters: Value) -> Value {
        let body = json!({"cmd": name, "params": parameters});
        self.post("goog/cdp/execute", &body).await
    }

    /// Sends a command of the driver that the client does not know.
    async fn post(&self, command: &str, body: &Value) -> Value {
        let session = self.client.session_id().await.unwrap().unwrap();
        let (port, body) = (self.driver_port, body.to_string());
        let path = format!("/session/{session}/{command}");
        let answer = tokio::task::spawn_blocking(move || plain_post(port, &path, &body));
        let answer: Value = serde_json::from_str(&answer.await.unwrap()).unwrap();
        assert!(answer["value"]["error"].is_null(), "{answer}");
        answer["value"].clone()
    }

    /// Closes the browser, after it has shown no error and asked nobody else.
    pub(crate) async fn end(self) {
        let console = self.post("se/log", &json!({"type": "browser"})).await;
        let severe: Vec<&Value> = console
            .as_array()
            .unwrap()
            .iter()
            .filter(|entry| entry["level"] == "SEVERE" || entry["level"] == "WARNING")
            .collect();
        assert!(severe.is_empty(), "the console says: {severe:?}");
        let traffic = self.post("se/log", &json!({"type": "performance"})).await;
        let mut own = 0;
        for entry in traffic.as_array().unwrap() {
            let message: Value = serde_json::from_str(entry["message"].as_str().unwrap()).unwrap();
            let message = &message["message"];
            if message["method"] != "Network.requestWillBeSent" {
                continue;
            }
            // The browser's own first tab, before any page of the program is opened.
            let document = message["params"]["documentURL"].as_str().unwrap();
            if document.starts_with("chrome:") || document.starts_with("chrome-untrusted:") {
                continue;
            }
            let url = message["params"]["request"]["url"].as_str().unwrap();
            let is_own = url.starts_with(&self.address) || url.starts_with("data:");
            assert!(is_own, "the page asked {url}");
            own += 1;
        }
        assert!(own > 0, "the log of requests is empty: it would notice nothing");
        self.client.close().await.unwrap();
    }
}

/// The built program on a free port and a new file; its address as it prints it.
fn serve(folder: &tempfile::TempDir) -> (Ended, String) {
    let mut server = Command::new(env!("CARGO_BIN_EXE_likewear"))
        .args(["serve", "--listen", "127.0.0.1:0", "--data"])
        .arg(folder.path().join("browser.db"))
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let printed = server.stdout.take().unwrap();
    let server = Ended(server);
    let mut line = String::new();
    BufReader::new(printed).read_line(&mut line).unwrap();
    let at = line
        .find("http://")
        .unwrap_or_else(|| panic!("no address in '{line}'"));
    (server, line[at..].trim().trim_end_matches('/').to_string())
}

fn free_port() -> u16 {
    TcpListener::bind("127.0.0.1:0")
        .unwrap()
        .local_addr()
        .unwrap()
        .port()
}

async fn connect(port: u16, scripting: Scripting, folder: &tempfile::TempDir) -> Client {
    let profile = folder.path().join("profile");
    let arguments = vec![
        "--headless=new".to_string(),
        "--no-sandbox".to_string(),
        "--disable-gpu".to_string(),
        // A page that is still scrolling smoothly cannot be clicked.
        "--force-prefers-reduced-motion".to_string(),
        "--disable-dev-shm-usage".to_string(),
        "--window-size=1440,900".to_string(),
        format!("--user-data-dir={}", profile.display()),
    ];
    // The driver needs scripts of its own to find elements: a site's setting stops those of the page alone.
    let preferences = match scripting {
        Scripting::On => json!({}),
        Scripting::Off => json!({"profile.managed_default_content_settings.javascript": 2}),
    };
    let wanted = json!({
        "goog:chromeOptions": {"args": arguments, "binary": "/usr/bin/chromium", "prefs": preferences},
        "goog:loggingPrefs": {"browser": "ALL", "performance": "ALL"},
    });
    let wanted = wanted.as_object().unwrap().clone();
    let started = Instant::now();
    loop {
        let mut builder = ClientBuilder::new(HttpConnector::new());
        let answer = builder
            .capabilities(wanted.clone())
            .connect(&format!("http://127.0.0.1:{port}"))
            .await;
        match answer {
            Ok(client) => return client,
            Err(error) if started.elapsed() > Duration::from_secs(60) => panic!("no browser: {error}"),
            Err(_) => tokio::time::sleep(Duration::from_millis(200)).await,
        }
    }
}

/// One request to the driver, by hand: HTTP/1.1 (RFC 9112). The driver keeps the connection open, so that the answer is
/// read by its length; a driver that says nothing fails the test instead of holding it.
fn plain_post(port: u16, path: &str, body: &str) -> String {
    use std::io::{Read, Write};
    let mut stream = std::net::TcpStream::connect(("127.0.0.1", port)).unwrap();
    stream.set_read_timeout(Some(Duration::from_secs(30))).unwrap();
    let request = format!(
        "POST {path} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nContent-Type: application/json\r\nContent-Length: {}\r\n\r\n{body}",
        body.len()
    );
    stream.write_all(request.as_bytes()).unwrap();
    let mut reader = BufReader::new(stream);
    let mut length = 0;
    loop {
        let mut line = String::new();
        reader.read_line(&mut line).unwrap();
        if line.trim().is_empty() {
            break;
        }
        let header = line.to_lowercase();
        if let Some(text) = header.strip_prefix("content-length:") {
            length = text.trim().parse().unwrap();
        }
    }
    let mut content = vec![0; length];
    reader.read_exact(&mut content).unwrap();
    String::from_utf8(content).unwrap()
}
