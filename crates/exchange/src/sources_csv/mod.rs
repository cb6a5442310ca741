//! Sources with their curves as a CSV table: read with a report of every mistake, and written.
//!
//! The first row names the columns in any order, each with its unit: `level [kPa]`, `flow (cfm)`. Fields may be quoted,
//! separated by commas, semicolons or tabs, with a decimal point or comma. Each row holds one point of a curve, and of an
//! ejector one feed pressure beside it; both may be left empty. What describes the source as a whole stands in its first
//! row. A row without a name belongs to the source above. [`sources_to_csv`] writes every column.
//!
//! | column | needed | means |
//! | --- | --- | --- |
//! | name | yes, or the table's | what lists show |
//! | kind | yes | `ejector`, `pump` or `blower` |
//! | level, flow | yes | a point of the curve: vacuum level at sea level, air drawn there; from level 0 to flow 0 |
//! | rated feed | ejector | feed pressure above the atmosphere that the curve is for |
//! | feed, flow share, level share, air | ejector | at a feed pressure: flow and deepest level over those at the rated feed, air used |
//! | power | pump, blower | electric, while it runs |
//! | straight bore | | what dirt passes straight through; empty where it would stick |
//! | air saving | | `yes` or `no`; no when left out |
//! | volume, mass | | 0 when left out |
//! | figures | | `measured`, `stated` or `assumed`; stated when left out |
//! | date | | of the figures |
//! | id | | name in the file, made from the name when left out |

mod columns;
mod read;
mod row;
mod write;

pub use read::{SourcesRead, sources_from_csv};
pub use write::sources_to_csv;
