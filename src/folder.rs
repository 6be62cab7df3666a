//! All file access.

use std::{
    fs,
    io::{self, Read},
    path::{Path, PathBuf},
};

use miette::Diagnostic;
use thiserror::Error;

/// Largest file that is read, bytes: far above any stock list, far below memory.
const MOST_BYTES: u64 = 1 << 30;

/// Why a file can't be read or written.
#[derive(Debug, Error, Diagnostic)]
pub enum FolderError {
    /// There is no such file.
    #[error("{} does not exist", path.display())]
    #[diagnostic(help("check the name and the folder"))]
    Missing {
        /// The path as given.
        path: PathBuf,
    },
    /// A folder stands where a file is expected.
    #[error("{} is a folder", path.display())]
    #[diagnostic(help("name a file in it"))]
    IsFolder {
        /// The path as given.
        path: PathBuf,
    },
    /// The file is too large to be what it should be.
    #[error("{} is larger than {MOST_BYTES} bytes", path.display())]
    #[diagnostic(help("split the list"))]
    TooLarge {
        /// The path as given.
        path: PathBuf,
    },
    /// Anything else the system says.
    #[error("{} can't be {doing}: {error}", path.display())]
    #[diagnostic(help("nothing was changed"))]
    System {
        /// The path as given.
        path: PathBuf,
        /// What was tried: `read`, `written`.
        doing: &'static str,
        /// What the system says.
        error: io::Error,
    },
}

/// The bytes of a file.
///
/// # Errors
/// No such file, a folder, no permission, or over a gigabyte.
pub fn read(path: &Path) -> Result<Vec<u8>, FolderError> {
    let told = |error: io::Error| match error.kind() {
        io::ErrorKind::NotFound => FolderError::Missing { path: path.into() },
        _ => FolderError::System { path: path.into(), doing: "read", error },
    };
    let metadata = fs::metadata(path).map_err(told)?;
    if metadata.is_dir() {
        return Err(FolderError::IsFolder { path: path.into() });
    }
    let mut bytes = Vec::new();
    let file = fs::File::open(path).map_err(told)?;
    file.take(MOST_BYTES + 1).read_to_end(&mut bytes).map_err(told)?;
    if bytes.len() as u64 > MOST_BYTES {
        return Err(FolderError::TooLarge { path: path.into() });
    }
    Ok(bytes)
}
