//! Libraries in S3-compatible stores, and read from ordinary web hosts.
//!
//! The only crate that knows a network. Nothing is reached but the place that a person named, and without encryption only this
//! very machine.

use std::{env, io, net::IpAddr, time::Duration};

use chockstone_library::{
    catalogue::{SNAPSHOT, Source},
    stores::{Store, Tagged},
};
use object_store::{
    ClientOptions, Error, GetOptions, ObjectStore, PutMode, PutOptions, RetryConfig, UpdateVersion,
    aws::AmazonS3Builder, http::HttpBuilder, path::Path as StorePath,
};
use tokio::runtime::Runtime;

/// How often a request is tried again, and for how long in all.
const RETRIES: usize = 4;
const RETRY_TIME: Duration = Duration::from_secs(30);
/// How long one request may take.
const REQUEST_TIME: Duration = Duration::from_mins(2);

/// A library at an address.
#[derive(Debug)]
pub struct Remote {
    runtime: Runtime,
    store: Box<dyn ObjectStore>,
    prefix: StorePath,
}

impl Remote {
    /// Opens `s3://BUCKET/FOLDER`, with keys, region and endpoint from the usual `AWS_…` variables of the environment, or
    /// `https://HOST/FOLDER`, which can only be read. Without encryption only addresses of this very machine are used.
    ///
    /// # Errors
    /// A sentence that says what is wrong with the address.
    pub fn open(address: &str) -> Result<Self, String> {
        // Whoever installed one before is as good.
        let _ = rustls::crypto::ring::default_provider().install_default();
        let runtime = tokio::runtime::Builder::new_current_thread()
            .enable_all()
            .build()
            .map_err(|e| format!("no worker could be started: {e}"))?;
        let (store, prefix) = if let Some(rest) = address.strip_prefix("s3://") {
            bucket(rest)?
        } else if address.starts_with("https://") || address.starts_with("http://") {
            host(address)?
        } else {
            return Err(format!(
                "{address:?} is no address of a library: s3://BUCKET/FOLDER or https://HOST/FOLDER"
            ));
        };
        let prefix = StorePath::parse(prefix).map_err(|e| e.to_string())?;
        Ok(Self {
            runtime,
            store,
            prefix,
        })
    }

    fn path(&self, name: &str) -> io::Result<StorePath> {
        let name = StorePath::parse(name).map_err(io::Error::other)?;
        let parts = self.prefix.parts().chain(name.parts());
        Ok(parts.collect())
    }

    fn fetch(&self, name: &str, most: usize) -> io::Result<Option<Tagged>> {
        let path = self.path(name)?;
        self.runtime.block_on(async {
            let found = match self.store.get_opts(&path, GetOptions::default()).await {
                Ok(found) => found,
                Err(Error::NotFound { .. }) => return Ok(None),
                Err(error) => return Err(io::Error::other(error)),
            };
            if found.meta.size > most as u64 {
                let why = format!(
                    "it has {} bytes, and at most {most} were expected",
                    found.meta.size
                );
                return Err(io::Error::new(io::ErrorKind::InvalidData, why));
            }
            let tag = found.meta.e_tag.clone().unwrap_or_default();
            let bytes = found.bytes().await.map_err(io::Error::other)?;
            Ok(Some(Tagged {
                bytes: bytes.to_vec(),
                tag,
            }))
        })
    }

    /// Writes a file in a mode; false when the mode does not allow it.
    fn put(&self, name: &str, bytes: &[u8], mode: PutMode) -> io::Result<bool> {
        let path = self.path(name)?;
        let options = PutOptions {
            mode,
            ..PutOptions::default()
        };
        let put = self.store.put_opts(&path, bytes.to_vec().into(), options);
        match self.runtime.block_on(put) {
            Ok(_) => Ok(true),
            Err(Error::AlreadyExists { .. } | Error::Precondition { .. }) => Ok(false),
            Err(error) => Err(io::Error::other(error)),
        }
    }
}

/// The largest snapshot that is read, in bytes.
const LARGEST_SNAPSHOT: usize = 20_000_000;

impl Source for Remote {
    fn get(&self, name: &str, most: usize) -> io::Result<Option<Vec<u8>>> {
        Ok(self.fetch(name, most)?.map(|found| found.bytes))
    }
}

impl Store for Remote {
    fn put_new(&self, name: &str, bytes: &[u8]) -> io::Result<bool> {
        self.put(name, bytes, PutMode::Create)
    }

    fn tagged_snapshot(&self) -> io::Result<Option<Tagged>> {
        let found = self.fetch(SNAPSHOT, LARGEST_SNAPSHOT)?;
        match found {
            Some(found) if found.tag.is_empty() => Err(io::Error::other(
                "the store gives no tag of what it holds, so two publishers could lose each other's work",
            )),
            found => Ok(found),
        }
    }

    fn swap_snapshot(&self, expected: Option<&str>, bytes: &[u8]) -> io::Result<bool> {
        let mode = expected.map_or(PutMode::Create, |tag| {
            PutMode::Update(UpdateVersion {
                e_tag: Some(tag.to_owned()),
                version: None,
            })
        });
        self.put(SNAPSHOT, bytes, mode)
    }
}

type Opened<'a> = (Box<dyn ObjectStore>, &'a str);

fn bucket(rest: &str) -> Result<Opened<'_>, String> {
    let (bucket, prefix) = rest.split_once('/').unwrap_or((rest, ""));
    let mut builder = AmazonS3Builder::from_env()
        .with_bucket_name(bucket)
        .with_retry(retry())
        .with_client_options(options(false));
    let endpoint = ["AWS_ENDPOINT_URL_S3", "AWS_ENDPOINT_URL", "AWS_ENDPOINT"]
        .iter()
        .find_map(|name| env::var(name).ok());
    if let Some(endpoint) = endpoint {
        let plain = plain_text_is_fine(&endpoint)?;
        builder = builder
            .with_endpoint(endpoint)
            .with_client_options(options(plain));
    }
    let store = builder.build().map_err(|e| e.to_string())?;
    Ok((Box::new(store), prefix))
}

fn host(address: &str) -> Result<Opened<'_>, String> {
    let plain = plain_text_is_fine(address)?;
    let store = HttpBuilder::new()
        .with_url(address)
        .with_retry(retry())
        .with_client_options(options(plain))
        .build()
        .map_err(|e| e.to_string())?;
    Ok((Box::new(store), ""))
}

fn retry() -> RetryConfig {
    RetryConfig {
        max_retries: RETRIES,
        retry_timeout: RETRY_TIME,
        ..RetryConfig::default()
    }
}

fn options(plain: bool) -> ClientOptions {
    ClientOptions::new()
        .with_allow_http(plain)
        .with_timeout(REQUEST_TIME)
}

/// Whether an address is used without encryption: only when it is this very machine.
fn plain_text_is_fine(address: &str) -> Result<bool, String> {
    let Some(rest) = address.strip_prefix("http://") else {
        return Ok(false);
    };
    let host = rest.split(['/', '?']).next().unwrap_or_default();
    let name = host.rsplit_once(':').map_or(host, |(name, _)| name);
    let name = name.trim_start_matches('[').trim_end_matches(']');
    let is_own = name == "localhost" || name.parse::<IpAddr>().is_ok_and(|ip| ip.is_loopback());
    if is_own {
        Ok(true)
    } else {
        Err(format!(
            "{address} is not encrypted: use https, as others could read along and change what is sent"
        ))
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a panic is a failed test")]

    use super::*;

    #[test]
    fn only_this_machine_is_reached_without_encryption() {
        for address in [
            "http://127.0.0.1:5000/x",
            "http://localhost",
            "http://[::1]:80/",
        ] {
            assert_eq!(plain_text_is_fine(address), Ok(true), "{address}");
        }
        assert_eq!(plain_text_is_fine("https://example.org"), Ok(false));
        for address in [
            "http://example.org/x",
            "http://127.0.0.1.example.org",
            "http://10.0.0.1",
        ] {
            assert!(plain_text_is_fine(address).is_err(), "{address}");
        }
    }

    #[test]
    fn what_is_no_address_is_refused_with_what_would_be() {
        for address in [
            "",
            "ftp://example.org",
            "folder/inside",
            "http://example.org",
        ] {
            let error = Remote::open(address).unwrap_err();
            assert!(error.contains("https"), "{error}");
        }
    }
}
