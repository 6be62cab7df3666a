//! Properties that hold for every input.

mod series;
mod values;
