//! Finds job files in folders.

use std::{
    fs, io,
    path::{Path, PathBuf},
};

use super::{FolderError, records::MOST_JOB_BYTES};

/// Name of the job file in a job folder.
const JOB_FILE: &str = "job.toml";
/// Folders within folders that are looked into.
const DEEPEST: usize = 32;

/// A job file that was found.
#[derive(Debug)]
pub struct Found {
    /// Its folder, below the one that was named.
    pub folder: PathBuf,
    /// Its text, or why it can't be read.
    pub text: Result<String, FolderError>,
}

/// Every `job.toml` in `folder` and in the folders below it, in the order of
/// their paths. Links to folders are not followed, so none is seen twice.
///
/// # Errors
/// The folder itself is not there or can't be read. A job file or a folder below
/// it that can't be read is among what is found.
pub fn find(folder: &Path) -> Result<Vec<Found>, FolderError> {
    let mut found = Vec::new();
    look(folder, 0, &mut found)?;
    found.sort_by(|a, b| a.folder.cmp(&b.folder));
    Ok(found)
}

fn look(folder: &Path, depth: usize, found: &mut Vec<Found>) -> Result<(), FolderError> {
    let failed = |error: io::Error| match error.kind() {
        io::ErrorKind::NotFound => FolderError::Missing { path: folder.into() },
        _ => FolderError::of(folder, "read", error),
    };
    for entry in fs::read_dir(folder).map_err(failed)? {
        let entry = entry.map_err(failed)?;
        let path = entry.path();
        if entry.file_type().map_err(failed)?.is_dir() {
            if depth < DEEPEST
                && let Err(error) = look(&path, depth + 1, found)
            {
                found.push(Found { folder: path, text: Err(error) });
            }
        } else if entry.file_name() == JOB_FILE {
            let text = super::read_text(&path, MOST_JOB_BYTES);
            let missing = || FolderError::Missing { path: path.clone() };
            let text = text.and_then(|text| text.ok_or_else(missing));
            found.push(Found { folder: folder.into(), text });
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn jobs_are_found_at_any_depth_in_order() {
        let dir = tempfile::tempdir().unwrap();
        for name in ["b", "a/c", "a", "d/records"] {
            fs::create_dir_all(dir.path().join(name)).unwrap();
        }
        for name in ["b/job.toml", "a/c/job.toml", "a/job.toml", "d/other.toml"] {
            fs::write(dir.path().join(name), name).unwrap();
        }
        fs::write(dir.path().join("d/job.toml"), [0xff]).unwrap();
        #[cfg(unix)]
        std::os::unix::fs::symlink(dir.path(), dir.path().join("a/round")).unwrap();
        let found = find(dir.path()).unwrap();
        let shown = |found: &Found| {
            let folder = found.folder.strip_prefix(dir.path()).unwrap();
            format!("{} {}", folder.display(), found.text.is_ok())
        };
        let shown: Vec<String> = found.iter().map(shown).collect();
        assert_eq!(shown, ["a true", "a/c true", "b true", "d false"]);
        assert!(matches!(find(&dir.path().join("none")), Err(FolderError::Missing { .. })));
        let file = find(&dir.path().join("b/job.toml"));
        assert!(matches!(file, Err(FolderError::NotAFolder { .. })), "{file:?}");
    }
}
