//! What a decision needs beyond the judged set: how to discharge and wire it,
//! what to buy, what was known and from where, the reason, and the first file
//! of a job folder. Pure; `report` puts it into documents.

pub mod about;
pub mod again;
pub mod buy;
pub mod discharge;
pub mod given;
pub mod job_file;
pub mod kept;
pub mod known;
pub mod reason;
pub mod untold;
pub mod wiring;
