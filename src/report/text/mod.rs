//! Text for people: 80 columns, colour as escape codes that the binary strips
//! where they are not wanted.

pub mod cover;
mod figure;
pub mod near;
pub mod open;
pub mod page;
pub mod read;
pub mod record;
pub mod remedy;
pub mod stock;
pub mod supply;

pub use page::Page;
