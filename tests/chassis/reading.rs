//! Reads a job from text.

use recan::{
    chassis::Chassis,
    job::{self, Job},
};

pub(crate) fn job(text: &str) -> Job {
    job::read_safely("job.toml", text, None).unwrap_or_else(|e| panic!("{e:?}"))
}

pub(crate) fn chassis(text: &str) -> Chassis {
    Chassis::of(&job(text)).unwrap_or_else(|e| panic!("{e:?}"))
}

pub(crate) fn example(name: &str) -> String {
    let path = format!("{}/data/jobs/{name}/job.toml", env!("CARGO_MANIFEST_DIR"));
    std::fs::read_to_string(path).unwrap()
}
