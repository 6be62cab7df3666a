//! Text for people: 80 columns, colour as escape codes that the binary strips
//! where they are not wanted.

pub mod check;
pub mod explain;
pub mod fault;
pub mod near;
pub mod page;
pub mod read;
pub mod record;
pub mod sets;
pub mod stock;
pub mod supply;

pub use page::Page;
