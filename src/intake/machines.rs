//! machines.csv, contacts.csv.

use crate::intake::folder::Folder;
use crate::records::table::{Record, Source, column};
use crate::records::{Machine, MachineContact, MachineSlug, OfVersion, Parent, is_whole_machine};

pub(crate) fn machines(folder: &mut Folder) -> Vec<Machine> {
    folder.refuse_doubles::<Machine>();
    folder.refuse_doubles::<MachineContact>();
    let machines = folder.read_with::<Machine>(|cells| {
        let machine = cells.record();
        if cells.trimmed("machine") == "new" {
            // Its page would stand where the form for a new machine stands.
            let problem = "is the address of the form for a new machine; take another name";
            return cells.refuse("machine", problem);
        }
        machine
    });
    let machines = in_order(folder, machines);
    let faults_before = folder.faults.len();
    let contacts = folder.read_with::<MachineContact>(|cells| {
        // A contact's name follows the rules of a machine's.
        let name = cells.field::<MachineSlug>(&column("contact"));
        cells.record().filter(|_| name.is_some())
    });
    let all_contacts_read = folder.faults.len() == faults_before;
    let mut complete = Vec::new();
    for (line, mut machine) in machines {
        let name = machine.name_in_parts();
        let own = contacts.iter().filter(|(_, owner, _)| *owner == name);
        let first_line = own.clone().next().map(|(line, ..)| *line);
        machine.contacts = own.map(|(.., contact)| contact.clone()).collect();
        if all_contacts_read {
            check_shares(folder, &machine, line, first_line);
        }
        complete.push(machine);
    }
    refuse_contacts_of_no_version(folder, &complete, &contacts);
    complete
}

/// Machines in the order of their first rows, each with its versions from 1 on; a gap among them is noted.
fn in_order(folder: &mut Folder, machines: Vec<(u64, (), Machine)>) -> Vec<(u64, Machine)> {
    let mut slugs: Vec<MachineSlug> = Vec::new();
    for (.., machine) in &machines {
        if !slugs.contains(&machine.slug) {
            slugs.push(machine.slug.clone());
        }
    }
    let mut ordered = Vec::new();
    for slug in slugs {
        let mut versions: Vec<(u64, Machine)> = machines
            .iter()
            .filter(|(.., machine)| machine.slug == slug)
            .map(|(line, (), machine)| (*line, machine.clone()))
            .collect();
        versions.sort_by_key(|(_, machine)| machine.version);
        let numbers: Vec<u32> = versions.iter().map(|(_, machine)| machine.version).collect();
        let first_line = versions.iter().map(|(line, _)| *line).min().unwrap_or_default();
        let doubles_are_noted = folder.faults.iter().any(|fault| fault.file == Machine::FILE);
        if !numbers.iter().copied().eq(1..=numbers.len() as u32) && !doubles_are_noted {
            let list: Vec<String> = numbers.iter().map(ToString::to_string).collect();
            let problem = format!(
                "the versions of '{slug}' are {}; they run from 1 without a gap, and an empty one is the first",
                list.join(", ")
            );
            folder.refuse::<Machine>(first_line, "version", &list.join(", "), problem);
        }
        ordered.extend(versions);
    }
    ordered
}

/// A contact belongs to a version that machines.csv has.
fn refuse_contacts_of_no_version(
    folder: &mut Folder,
    machines: &[Machine],
    contacts: &[(u64, OfVersion, MachineContact)],
) {
    for (
        line,
        OfVersion {
            machine: slug,
            version,
        },
        _,
    ) in contacts
    {
        let known: Vec<String> = machines
            .iter()
            .filter(|machine| &machine.slug == slug)
            .map(|machine| machine.version.to_string())
            .collect();
        let text = version.to_string();
        // A machine whose own row is at fault is reported there.
        if !known.is_empty() && !known.contains(&text) {
            let problem = format!(
                "is no version of '{slug}' in machines.csv; it has {}",
                known.join(", ")
            );
            folder.refuse::<MachineContact>(*line, "version", &text, problem);
        }
    }
}

fn check_shares(folder: &mut Folder, machine: &Machine, line: u64, first_line: Option<u64>) {
    let slug = machine.slug.as_str();
    let Some(first_line) = first_line else {
        let problem = "the machine has no contact; nothing can be compared with it";
        folder.warn::<Machine>(line, "machine", slug, problem);
        return;
    };
    let sum: f64 = machine.contacts.iter().map(|contact| contact.share).sum();
    if !is_whole_machine(sum) {
        let problem = format!("the shares of the contacts of '{slug}' sum to {sum:.3}, not to 1");
        let shares: Vec<String> = machine.contacts.iter().map(|c| c.share.to_string()).collect();
        folder.refuse::<MachineContact>(first_line, "share", &shares.join(" + "), problem);
    }
}
