//! Saves a job file whole, and never over what someone else wrote meanwhile.

use std::{
    fs::{self, File},
    io,
    path::{Path, PathBuf},
};

use super::{FolderError, read_text, records};

/// What became of a job file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Saved {
    /// It holds the text.
    Written,
    /// It holds something else than was expected, and was left so; `None` where
    /// it is gone.
    Changed(Option<String>),
}

/// Writes `text` where `path` still holds `expected` (`None`: no file yet).
///
/// The text is flushed to the disk beside its place and then takes the name, so
/// that a kill at any moment leaves the old text or the new one. Folders on the
/// way are made. A link is followed, and the file keeps its permissions.
///
/// # Errors
/// The folder can't be made or written to, the file is read-only, or is not a
/// text of at most a megabyte. The old text stands then.
pub fn save(path: &Path, expected: Option<&str>, text: &str) -> Result<Saved, FolderError> {
    let folder = records::parent(path);
    fs::create_dir_all(folder).map_err(|error| match error.kind() {
        io::ErrorKind::AlreadyExists => {
            FolderError::NotAFolder { path: super::file_on_the_way(folder) }
        }
        _ => FolderError::of(folder, "made", error),
    })?;
    let _lock = lock(folder);
    let found = read_text(path, records::MOST_JOB_BYTES)?;
    if found.as_deref() == Some(text) {
        return Ok(Saved::Written);
    }
    if found.as_deref() != expected {
        return Ok(Saved::Changed(found));
    }
    replace(&behind_link(path), text)?;
    Ok(Saved::Written)
}

fn replace(path: &Path, text: &str) -> Result<(), FolderError> {
    let failed = |error| FolderError::of(path, "written", error);
    let permissions = fs::metadata(path).ok().map(|metadata| metadata.permissions());
    if permissions.as_ref().is_some_and(fs::Permissions::readonly) {
        return Err(FolderError::ReadOnly { path: path.into() });
    }
    let folder = records::parent(path);
    let file = records::staged(folder, text)?;
    if let Some(permissions) = permissions {
        file.as_file().set_permissions(permissions).map_err(failed)?;
    }
    file.persist(path).map_err(|error| failed(error.error))?;
    records::flush(folder)
}

fn behind_link(path: &Path) -> PathBuf {
    fs::canonicalize(path).unwrap_or_else(|_| path.into())
}

/// Holds off other runs between the look at the file and its new name. Where a
/// system has no such lock, the look alone guards.
fn lock(folder: &Path) -> Option<File> {
    let folder = File::open(folder).ok()?;
    folder.lock().ok()?;
    Some(folder)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn writes_only_over_what_was_expected() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("sub/job.toml");
        assert_eq!(save(&path, None, "one").unwrap(), Saved::Written);
        assert_eq!(save(&path, Some("one"), "two").unwrap(), Saved::Written);
        assert_eq!(save(&path, Some("one"), "three").unwrap(), Saved::Changed(Some("two".into())));
        assert_eq!(save(&path, None, "three").unwrap(), Saved::Changed(Some("two".into())));
        assert_eq!(fs::read_to_string(&path).unwrap(), "two");
        fs::remove_file(&path).unwrap();
        assert_eq!(save(&path, Some("two"), "three").unwrap(), Saved::Changed(None));
        assert!(!path.exists());
    }

    #[test]
    fn leaves_nothing_beside_the_file() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("job.toml");
        save(&path, None, "one").unwrap();
        save(&path, Some("one"), "two").unwrap();
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    }

    #[cfg(unix)]
    #[test]
    fn keeps_permissions_and_follows_links() {
        use std::os::unix::fs::{PermissionsExt, symlink};
        let folder = tempfile::tempdir().unwrap();
        let (real, link) = (folder.path().join("real.toml"), folder.path().join("job.toml"));
        fs::write(&real, "one").unwrap();
        fs::set_permissions(&real, fs::Permissions::from_mode(0o640)).unwrap();
        symlink(&real, &link).unwrap();
        save(&link, Some("one"), "two").unwrap();
        assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
        assert_eq!(fs::read_to_string(&real).unwrap(), "two");
        assert_eq!(fs::metadata(&real).unwrap().permissions().mode() & 0o777, 0o640);
        fs::set_permissions(&real, fs::Permissions::from_mode(0o440)).unwrap();
        assert!(matches!(save(&link, Some("two"), "x"), Err(FolderError::ReadOnly { .. })));
        assert_eq!(fs::read_to_string(&real).unwrap(), "two");
    }

    #[test]
    fn a_file_on_the_way_is_told() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("file");
        fs::write(&file, "x").unwrap();
        for path in [file.join("job.toml"), file.join("sub/job.toml")] {
            assert!(save(&path, None, "x").is_err());
        }
    }
}
