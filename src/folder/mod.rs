//! All file access.

pub mod decided;
pub mod job_file;
pub mod jobs;
pub mod records;

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
    /// A pipe, a device or the like stands where a file is expected.
    #[error("{} is no file", path.display())]
    #[diagnostic(help("a job and its records are kept in files; a pipe or a device is none"))]
    NotAFile {
        /// The path as given.
        path: PathBuf,
    },
    /// The file is too large to be what it should be.
    #[error("{} is larger than {most} bytes", path.display())]
    #[diagnostic(help("is it the file you meant?"))]
    TooLarge {
        /// The path as given.
        path: PathBuf,
        /// Most bytes that are read of such a file.
        most: u64,
    },
    /// A file stands where a folder is expected.
    #[error("{} is a file, a folder is expected", path.display())]
    #[diagnostic(help("name a job folder, or a job file that ends in .toml"))]
    NotAFolder {
        /// The path as given.
        path: PathBuf,
    },
    /// The file is no UTF-8 text.
    #[error("{} is no text", path.display())]
    #[diagnostic(help("save it as UTF-8"))]
    NotText {
        /// The path as given.
        path: PathBuf,
    },
    /// Every number is taken.
    #[error("{} holds no free number for a record", path.display())]
    #[diagnostic(help("start a new job folder; nothing was changed"))]
    NoNumber {
        /// The folder of the records.
        path: PathBuf,
    },
    /// Another run made a job file that says something else.
    #[error("{} was made by another run with another stamping", path.display())]
    #[diagnostic(help("look at that file, then try again; nothing was changed"))]
    OtherJob {
        /// The job file.
        path: PathBuf,
    },
    /// The file is marked as not to be written.
    #[error("{} is read-only", path.display())]
    #[diagnostic(help("make it writable, or name another folder; nothing was changed"))]
    ReadOnly {
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
        return Err(FolderError::TooLarge { path: path.into(), most: MOST_BYTES });
    }
    Ok(bytes)
}

/// The text of a file of at most `most` bytes; `None` where there is no file.
///
/// # Errors
/// A folder, a pipe or a device, no permission, too large, or no UTF-8.
pub fn read_text(path: &Path, most: u64) -> Result<Option<String>, FolderError> {
    match fs::metadata(path) {
        Ok(metadata) if metadata.len() > most && metadata.is_file() => {
            return Err(FolderError::TooLarge { path: path.into(), most });
        }
        // A pipe may never say anything, and a device never end.
        Ok(metadata) if !metadata.is_file() && !metadata.is_dir() => {
            return Err(FolderError::NotAFile { path: path.into() });
        }
        Ok(_) => {}
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(None),
        Err(error) => return Err(FolderError::of(path, "read", error)),
    }
    let text = String::from_utf8(read(path)?);
    text.map(Some).map_err(|_| FolderError::NotText { path: path.into() })
}

/// Whether a regular file stands at `path`.
#[must_use]
pub fn is_file(path: &Path) -> bool {
    path.is_file()
}

impl FolderError {
    fn of(path: &Path, doing: &'static str, error: io::Error) -> Self {
        match error.kind() {
            io::ErrorKind::NotADirectory => Self::NotAFolder { path: file_on_the_way(path) },
            _ => Self::System { path: path.into(), doing, error },
        }
    }
}

/// The part of `path` that is a file where a folder is needed.
fn file_on_the_way(path: &Path) -> PathBuf {
    path.ancestors().find(|p| p.is_file()).unwrap_or(path).into()
}
