//! serve: the dashboard on this machine until Ctrl-C or a termination signal.

use crate::app::{App, AppError, StartWith};
use crate::cli::print::{answer, diagnostic};
use crate::cli::{Answer, ServeArguments};
use anyhow::{Context, anyhow, bail};
use std::io::{ErrorKind, Read, Write};
use std::net::{IpAddr, Ipv4Addr, SocketAddr, TcpStream};
use std::sync::Arc;
use std::time::Duration;
use tokio::net::TcpListener;

/// How long requests under way may take to finish after a signal.
const LAST_REQUESTS: Duration = Duration::from_secs(5);
/// How long the first answer may take.
const FIRST_ANSWER: Duration = Duration::from_secs(20);

/// How long after a start trials are made ready: until then whoever started it has the processor (ours).
const START_IS_OVER: Duration = Duration::from_secs(15);
/// How long after trials were made ready it is looked whether something was written (ours).
const LOOK_AGAIN: Duration = Duration::from_secs(5);

pub(super) async fn serve(arguments: &ServeArguments) -> anyhow::Result<Answer> {
    let listener = listen(&arguments.listen).await?;
    let address = listener.local_addr()?;
    // The handlers stand before anybody can know the address.
    let (told, told_again) = (signal()?, signal()?);
    let app = Arc::new(open_or_create(arguments).await?);
    let mut server = tokio::spawn(crate::web::serve(app.clone(), listener, told));
    let ahead = tokio::spawn(judge_ahead(app.clone()));
    let served = tokio::select! {
        answers = first_answer(address) => match answers {
            Ok(()) => {
                answer(&format!("likewear serves {} at http://{address}/", arguments.data.display()))?;
                run_until(&mut server, told_again).await
            }
            Err(error) => Err(error),
        },
        ended = &mut server => ended.map_err(anyhow::Error::from).and_then(|served| Ok(served?)),
    };
    server.abort();
    ahead.abort();
    app.close_shared().await?;
    served?;
    Ok(Answer::Done)
}

/// Makes ready what is likely to be opened next, so that whoever opens it need not wait: the list at once, the trials at
/// its top once the start is over, and again whenever something was written.
async fn judge_ahead(app: Arc<App>) {
    let keep_ready = async {
        app.judge_list_ahead().await?;
        tokio::time::sleep(START_IS_OVER).await;
        let mut seen = None;
        loop {
            seen = Some(app.judge_trials_ahead(seen).await?);
            tokio::time::sleep(LOOK_AGAIN).await;
        }
    };
    let ended: Result<(), AppError> = keep_ready.await;
    if let Err(error) = ended {
        tracing::warn!("judging trials ahead: {error}");
    }
}

/// Until the server ends of itself, or for a while after a signal: a request that hangs does not keep the file open.
async fn run_until(
    server: &mut tokio::task::JoinHandle<std::io::Result<()>>,
    told: impl Future<Output = ()>,
) -> anyhow::Result<()> {
    let too_late = async {
        told.await;
        tokio::time::sleep(LAST_REQUESTS).await;
    };
    tokio::select! {
        ended = server => Ok(ended??),
        () = too_late => Ok(()),
    }
}

async fn listen(text: &str) -> anyhow::Result<TcpListener> {
    let address = resolve(text)?;
    TcpListener::bind(address).await.map_err(|error| match error.kind() {
        ErrorKind::AddrInUse => anyhow!(
            "{address} is in use; choose another port with --listen, such as {}:0, which picks a free one",
            address.ip()
        ),
        _ => anyhow!("cannot listen on {address}: {error}"),
    })
}

/// An address of this machine alone: the dashboard knows no users.
fn resolve(text: &str) -> anyhow::Result<SocketAddr> {
    let plain = match text.strip_prefix("localhost:") {
        Some(port) => format!("{}:{port}", IpAddr::V4(Ipv4Addr::LOCALHOST)),
        None => text.to_string(),
    };
    let Ok(address) = plain.parse::<SocketAddr>() else {
        bail!("--listen '{text}': write an address and a port such as 127.0.0.1:4180");
    };
    if !address.ip().is_loopback() {
        bail!("--listen '{text}': only this machine is served; use 127.0.0.1, [::1] or localhost");
    }
    Ok(address)
}

async fn open_or_create(arguments: &ServeArguments) -> anyhow::Result<App> {
    let file = arguments.data.display();
    if arguments.data.exists() {
        return Ok(App::open(&arguments.data).await?);
    }
    let start_with = if arguments.empty {
        StartWith::Nothing
    } else {
        StartWith::Demo
    };
    let app = App::create(&arguments.data, start_with)
        .await
        .with_context(|| format!("cannot create {file}"))?;
    diagnostic(&match start_with {
        StartWith::Demo => format!("created {file} with invented demo trials"),
        StartWith::Nothing => format!("created {file}, empty"),
    });
    Ok(app)
}

/// Ready when somebody presses Ctrl-C or ends the program in order.
#[cfg(unix)]
fn signal() -> std::io::Result<impl Future<Output = ()> + Send + 'static> {
    use tokio::signal::unix::{SignalKind, signal};
    let (mut interrupt, mut terminate) = (signal(SignalKind::interrupt())?, signal(SignalKind::terminate())?);
    Ok(async move {
        tokio::select! {
            _ = interrupt.recv() => {}
            _ = terminate.recv() => {}
        }
    })
}

/// Ready when somebody presses Ctrl-C.
#[cfg(not(unix))]
fn signal() -> std::io::Result<impl Future<Output = ()> + Send + 'static> {
    Ok(async {
        if tokio::signal::ctrl_c().await.is_err() {
            std::future::pending::<()>().await;
        }
    })
}

/// Asks the server until it answers.
async fn first_answer(address: SocketAddr) -> anyhow::Result<()> {
    let asked = tokio::time::timeout(FIRST_ANSWER, async {
        loop {
            let answers = tokio::task::spawn_blocking(move || ask(address)).await;
            if matches!(answers, Ok(Ok(true))) {
                return;
            }
            tokio::time::sleep(Duration::from_millis(20)).await;
        }
    });
    asked
        .await
        .map_err(|_| anyhow!("the pages do not answer at {address}"))
}

fn ask(address: SocketAddr) -> std::io::Result<bool> {
    let mut stream = TcpStream::connect_timeout(&address, Duration::from_secs(2))?;
    stream.set_read_timeout(Some(Duration::from_secs(2)))?;
    write!(
        stream,
        "GET /healthz HTTP/1.1\r\nHost: {address}\r\nConnection: close\r\n\r\n"
    )?;
    let mut head = [0; 12];
    stream.read_exact(&mut head)?;
    Ok(head == *b"HTTP/1.1 200")
}
