//! Properties that hold for every input.

mod cover;
mod series;
mod values;
