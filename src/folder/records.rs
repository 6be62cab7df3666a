//! Writes decision records: numbered, never over an old one, whole or not at all.
//!
//! A record is a folder of its own, `records/0007/`, with a file for programs,
//! two pages for people and the parts list. All of it is first written into a
//! temporary folder beside its place and flushed to the disk, so a full disk
//! shows before anything has its name. One rename then gives the whole folder
//! its number, which the system refuses where the number is taken. That is why
//! a record is a folder and not files side by side: a run that is killed at any
//! moment leaves the whole record or none of it, and no page without its figures.
//!
//! The job file, where there is none, takes its name before the record does, so
//! that no record stands beside a job without a file. A run that is killed may
//! leave temporary files and folders (`.recan-*.tmp`); a later run removes those
//! an hour old. The first records were two files, `records/0007.json` and `0007.md`;
//! such a number is taken as well.

use std::{
    fs::{self, File},
    io::{self, Write},
    path::{Path, PathBuf},
    time::Duration,
};

use tempfile::{Builder, NamedTempFile, TempDir};

use super::{FolderError, read_text};

/// Folder of the records in a job folder.
pub const RECORDS: &str = "records";
/// The file of a record that programs read.
pub const JSON: &str = "record.json";
/// Largest job file that is read, bytes.
pub const MOST_JOB_BYTES: u64 = 1 << 20;
/// Largest record that is read, bytes: some hundred times the usual.
pub const MOST_RECORD_BYTES: u64 = 1 << 26;
/// No run takes so long between a temporary file and its name.
const ABANDONED: Duration = Duration::from_hours(1);
/// The page for people, as plain text.
const MARKDOWN: &str = "record.md";
/// The page for a browser.
const HTML: &str = "record.html";
/// The parts list.
const PARTS: &str = "parts.csv";
/// How temporary files begin and end.
const TEMPORARY: (&str, &str) = (".recan-", ".tmp");

/// One record in every form.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Forms {
    /// For programs.
    pub json: String,
    /// For people, as plain text.
    pub markdown: String,
    /// For people, in a browser.
    pub html: String,
    /// The parts list, for a spreadsheet.
    pub parts: String,
}

/// The job file to make where there is none.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewJob {
    /// Where it goes.
    pub path: PathBuf,
    /// What it holds.
    pub text: String,
}

/// What was written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Written {
    /// Number of the record.
    pub number: u32,
    /// The record for programs.
    pub json: PathBuf,
    /// The record for people.
    pub markdown: PathBuf,
    /// The record for a browser.
    pub html: PathBuf,
    /// The parts list.
    pub parts: PathBuf,
    /// The job file, where it was made.
    pub job: Option<PathBuf>,
}

/// Adds a record to `folder`, which is made where it is absent; `forms` gives
/// the record with its number, `job` the job file to make as well.
///
/// # Errors
/// The folder can't be made or written to, or a job file with another text
/// appeared meanwhile. Nothing that this call made is left behind then.
pub fn append(
    folder: &Path,
    job: Option<&NewJob>,
    forms: &dyn Fn(u32) -> Forms,
) -> Result<Written, FolderError> {
    let records = folder.join(RECORDS);
    let mut made = Made::default();
    let written = made
        .folders(&records)
        .and_then(|()| write(&records, job, forms, &mut made))
        .and_then(|written| flush_names(&records, folder, &made).map(|()| written));
    match &written {
        Ok(written) => sweep(&records, &written.json),
        Err(_) => made.undo(),
    }
    written
}

/// The text of the record at `path`: the file itself, or the folder of a record.
///
/// # Errors
/// No such file, no permission, too large, or no UTF-8.
pub fn read_record(path: &Path) -> Result<String, FolderError> {
    let file = if path.is_dir() { path.join(JSON) } else { path.to_owned() };
    read_text(&file, MOST_RECORD_BYTES)?.ok_or(FolderError::Missing { path: file })
}

/// What this call made so far, to be taken back if it fails.
#[derive(Debug, Default)]
struct Made {
    /// Outermost first.
    folders: Vec<PathBuf>,
    files: Vec<PathBuf>,
    record: Option<PathBuf>,
}

impl Made {
    fn folders(&mut self, folder: &Path) -> Result<(), FolderError> {
        let missing: Vec<&Path> = folder
            .ancestors()
            .take_while(|p| !p.as_os_str().is_empty() && fs::symlink_metadata(p).is_err())
            .collect();
        for path in missing.into_iter().rev() {
            match fs::create_dir(path) {
                Ok(()) => self.folders.push(path.into()),
                Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {}
                Err(error) => return Err(FolderError::of(path, "made", error)),
            }
        }
        if folder.is_dir() {
            return Ok(());
        }
        Err(FolderError::NotAFolder { path: super::file_on_the_way(folder) })
    }

    /// Gives a flushed file its name; whether the name was free.
    fn name(
        &mut self,
        file: NamedTempFile,
        path: &Path,
    ) -> Result<Option<NamedTempFile>, FolderError> {
        match file.persist_noclobber(path) {
            Ok(_) => {
                self.files.push(path.into());
                Ok(None)
            }
            Err(error) if error.error.kind() == io::ErrorKind::AlreadyExists => {
                Ok(Some(error.file))
            }
            Err(error) => Err(FolderError::of(path, "written", error.error)),
        }
    }

    /// Removes the record and files, then folders as far as they are empty.
    fn undo(&mut self) {
        if let Some(record) = self.record.take() {
            let _ = fs::remove_dir_all(record);
        }
        for path in std::mem::take(&mut self.files) {
            let _ = fs::remove_file(path);
        }
        for path in self.folders.drain(..).rev() {
            let _ = fs::remove_dir(path);
        }
    }
}

fn write(
    records: &Path,
    job: Option<&NewJob>,
    forms: &dyn Fn(u32) -> Forms,
    made: &mut Made,
) -> Result<Written, FolderError> {
    let job_file = job.map(|job| staged(parent(&job.path), &job.text)).transpose()?;
    let mut number = first_free(records)?;
    let mut staged = StagedRecord::new(records)?;
    staged.fill(&forms(number))?;
    let job = match job.zip(job_file) {
        Some((job, file)) => name_job(job, file, made)?,
        None => None,
    };
    loop {
        let place = records.join(format!("{number:04}"));
        match staged.name(&place)? {
            None => {
                made.record = Some(place.clone());
                let file = |name: &str| place.join(name);
                let (json, markdown) = (file(JSON), file(MARKDOWN));
                return Ok(Written {
                    number,
                    json,
                    markdown,
                    html: file(HTML),
                    parts: file(PARTS),
                    job,
                });
            }
            Some(unnamed) => staged = unnamed,
        }
        let next = first_free(records)?.max(number.saturating_add(1));
        if next == number {
            return Err(FolderError::NoNumber { path: records.into() });
        }
        number = next;
        staged.fill(&forms(number))?;
    }
}

/// A record in a temporary folder, which goes where it is not named.
struct StagedRecord {
    folder: TempDir,
}

impl StagedRecord {
    fn new(records: &Path) -> Result<Self, FolderError> {
        let folder = builder(0o777).tempdir_in(records);
        let folder = folder.map_err(|error| FolderError::of(records, "written to", error))?;
        Ok(Self { folder })
    }

    /// Writes the files, over those of another number, and brings them to the disk.
    fn fill(&self, forms: &Forms) -> Result<(), FolderError> {
        let records = parent(self.folder.path());
        let files = [
            (MARKDOWN, &forms.markdown),
            (HTML, &forms.html),
            (PARTS, &forms.parts),
            (JSON, &forms.json),
        ];
        for (name, text) in files {
            let path = self.folder.path().join(name);
            let written = File::create(&path).and_then(|mut file| {
                file.write_all(text.as_bytes())?;
                file.sync_all()
            });
            written.map_err(|error| FolderError::of(records, "written to", error))?;
        }
        flush(self.folder.path())
    }

    /// Gives the folder its name; gives it back where the name is taken.
    fn name(self, place: &Path) -> Result<Option<Self>, FolderError> {
        // A rename may replace an empty folder, which is nobody's record, and
        // never one that holds something.
        match fs::rename(self.folder.path(), place) {
            Ok(()) => {
                // The temporary name is gone; keeping it tells the guard so.
                let _ = self.folder.keep();
                Ok(None)
            }
            Err(_) if fs::symlink_metadata(place).is_ok() => Ok(Some(self)),
            Err(error) => Err(FolderError::of(place, "written", error)),
        }
    }
}

/// Names the job file. Another run may have been first; that does where it says
/// the same.
fn name_job(
    job: &NewJob,
    file: NamedTempFile,
    made: &mut Made,
) -> Result<Option<PathBuf>, FolderError> {
    if made.name(file, &job.path)?.is_none() {
        return Ok(Some(job.path.clone()));
    }
    if read_text(&job.path, MOST_JOB_BYTES)?.as_deref() == Some(&job.text) {
        return Ok(None);
    }
    Err(FolderError::OtherJob { path: job.path.clone() })
}

/// A temporary file in `folder`, whole and on the disk.
pub(super) fn staged(folder: &Path, text: &str) -> Result<NamedTempFile, FolderError> {
    let failed = |error| FolderError::of(folder, "written to", error);
    let mut file = builder(0o666).tempfile_in(folder).map_err(failed)?;
    file.write_all(text.as_bytes()).map_err(failed)?;
    file.as_file().sync_all().map_err(failed)?;
    Ok(file)
}

/// Temporary files are the user's alone unless told otherwise; records get what
/// the user's mask allows.
fn builder(mode: u32) -> Builder<'static, 'static> {
    let mut builder = Builder::new();
    #[cfg(not(unix))]
    let _ = mode;
    builder.prefix(TEMPORARY.0).suffix(TEMPORARY.1);
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(fs::Permissions::from_mode(mode));
    }
    builder
}

/// Removes what killed runs left, told by its age beside the file `new`. Where
/// that fails, the next run tries again.
fn sweep(records: &Path, new: &Path) {
    let age = |path: &Path| {
        let written = |path| fs::symlink_metadata(path).and_then(|m| m.modified()).ok();
        written(new)?.duration_since(written(path)?).ok()
    };
    let entries = fs::read_dir(records).into_iter().flatten().flatten();
    for path in entries.map(|entry| entry.path()).filter(|path| is_temporary(path)) {
        if age(&path).is_some_and(|age| age > ABANDONED) {
            let _ = if path.is_dir() { fs::remove_dir_all(path) } else { fs::remove_file(path) };
        }
    }
}

fn is_temporary(path: &Path) -> bool {
    let name = path.file_name().and_then(|name| name.to_str()).unwrap_or_default();
    name.starts_with(TEMPORARY.0) && name.ends_with(TEMPORARY.1)
}

/// One more than the highest number that is taken.
fn first_free(records: &Path) -> Result<u32, FolderError> {
    let failed = |error| FolderError::of(records, "read", error);
    let mut highest = 0;
    for entry in fs::read_dir(records).map_err(failed)? {
        let name = entry.map_err(failed)?.file_name();
        highest = highest.max(name.to_str().and_then(number).unwrap_or(0));
    }
    highest.checked_add(1).ok_or_else(|| FolderError::NoNumber { path: records.into() })
}

/// The number of a record's folder, or of a file of an early record.
fn number(name: &str) -> Option<u32> {
    let early = name.strip_suffix(".json").or_else(|| name.strip_suffix(".md"));
    let digits = early.unwrap_or(name);
    digits.bytes().all(|b| b.is_ascii_digit()).then(|| digits.parse().ok())?
}

/// Brings the new names to the disk: those of the files, then those of folders.
fn flush_names(records: &Path, folder: &Path, made: &Made) -> Result<(), FolderError> {
    let outer = made.folders.first().map(|outermost| parent(outermost));
    [records, folder].into_iter().chain(outer).try_for_each(flush)
}

#[cfg(unix)]
pub(super) fn flush(folder: &Path) -> Result<(), FolderError> {
    let flushed = File::open(path_or_here(folder)).and_then(|folder| folder.sync_all());
    match flushed {
        // Some network file systems don't flush folders; they need no telling.
        Err(error)
            if matches!(error.kind(), io::ErrorKind::InvalidInput | io::ErrorKind::Unsupported) =>
        {
            Ok(())
        }
        other => other.map_err(|error| FolderError::of(folder, "written to", error)),
    }
}

#[cfg(not(unix))]
pub(super) fn flush(_: &Path) -> Result<(), FolderError> {
    Ok(())
}

pub(super) fn parent(path: &Path) -> &Path {
    path_or_here(path.parent().unwrap_or(path))
}

fn path_or_here(path: &Path) -> &Path {
    if path.as_os_str().is_empty() { Path::new(".") } else { path }
}

#[cfg(test)]
mod tests;
