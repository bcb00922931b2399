//! What is typed into a form, as the files of an archive folder, read by the rules that hold for those.

use crate::intake::write::write_file;
use crate::intake::{ArchiveFiles, DraftFault, Fault, WriteFault, read_folder};
use crate::records::Archive;
use crate::records::table::FileColumns;

/// The first row under a header stands in this line.
const FIRST_LINE: u64 = 2;

/// Cells of one line each, so that the line of a fault leads to its row.
pub(crate) fn cells(texts: &[&str]) -> Vec<String> {
    let one_line = |text: &&str| text.trim().replace(char::is_control, " ");
    texts.iter().map(one_line).collect()
}

/// Puts files of such rows in the place of those of the same name.
pub(crate) fn replace_rows<const N: usize>(
    files: &mut ArchiveFiles,
    written: [(FileColumns, Vec<Vec<String>>); N],
) -> Result<(), WriteFault> {
    for (file, rows) in written {
        files.insert(file.name.to_string(), write_file(&file, &rows)?);
    }
    Ok(())
}

/// Reads the files. Each fault is said at the field that `field` finds for it, unless that has one already; what could not
/// be written is said at `whole`.
pub(crate) fn read_files(
    files: Result<ArchiveFiles, WriteFault>,
    field: impl Fn(&Fault) -> String,
    whole: &str,
    faults: &mut Vec<DraftFault>,
) -> Option<Archive> {
    match files.map(|files| read_folder(&files)) {
        Ok(Ok(accepted)) => Some(accepted.archive),
        Ok(Err(found)) => {
            for fault in &found {
                let field = field(fault);
                if !faults.iter().any(|known| known.field == field) {
                    faults.push(DraftFault::wrong(field, fault.problem.clone()));
                }
            }
            None
        }
        Err(fault) => {
            faults.push(DraftFault::wrong(whole, fault.to_string()));
            None
        }
    }
}

/// Which row under the header a fault is in, the first being 0.
pub(crate) fn row_of(fault: &Fault) -> usize {
    usize::try_from(fault.line.saturating_sub(FIRST_LINE)).unwrap_or(usize::MAX)
}
