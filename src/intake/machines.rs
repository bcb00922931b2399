//! machines.csv, contacts.csv.

use crate::intake::Fault;
use crate::intake::cells::{Cells, Range};
use crate::intake::folder::{Folder, Names};
use crate::records::rows::{CONTACTS, MACHINES};
use crate::records::{Machine, MachineContact, MachineSlug, Preset};

/// Shares of a machine's contacts sum to 1 within this: three thirds written as 0.333 do.
pub(crate) const SHARE_TOLERANCE: f64 = 0.005;

pub(crate) fn machines(folder: &mut Folder) -> Vec<Machine> {
    folder.refuse_doubles(MACHINES, &["machine", "version"]);
    folder.refuse_doubles(CONTACTS, &["machine", "version", "contact"]);
    let machines = folder.read(MACHINES, machine);
    let machines = in_order(folder, machines);
    let faults_before = folder.faults.len();
    let contacts = folder.read(CONTACTS, contact);
    let all_contacts_read = folder.faults.len() == faults_before;
    let mut complete = Vec::new();
    for (line, mut machine) in machines {
        let is_its = |slug: &MachineSlug, version| *slug == machine.slug && version == machine.version;
        let own = contacts
            .iter()
            .filter(|(_, (slug, version, _))| is_its(slug, *version));
        let first_line = own.clone().next().map(|(line, _)| *line);
        machine.contacts = own.map(|(_, (_, _, contact))| contact.clone()).collect();
        if all_contacts_read {
            check_shares(folder, &machine, line, first_line);
        }
        complete.push(machine);
    }
    refuse_contacts_of_no_version(folder, &complete, &contacts);
    complete
}

fn machine(_: &Names<'_>, cells: &mut Cells<'_>) -> Option<Machine> {
    let slug = match cells.trimmed("machine") {
        // Its page would stand where the form for a new machine stands.
        "new" => cells.refuse(
            "machine",
            "is the address of the form for a new machine; take another name",
        ),
        _ => cells.name("machine", MachineSlug::new),
    };
    let version = cells.version("version");
    Some(Machine {
        slug: slug?,
        name: cells.text("name"),
        kind: cells.text("kind"),
        note: cells.text("note"),
        caution: cells.text("caution"),
        contacts: Vec::new(),
        version: version?,
        change: cells.text("change"),
        entered_at: cells.text("entered_at"),
    })
}

/// Machines in the order of their first rows, each with its versions from 1 on; a gap among them is noted.
fn in_order(folder: &mut Folder, machines: Vec<(u64, Machine)>) -> Vec<(u64, Machine)> {
    let mut slugs: Vec<MachineSlug> = Vec::new();
    for (_, machine) in &machines {
        if !slugs.contains(&machine.slug) {
            slugs.push(machine.slug.clone());
        }
    }
    let mut ordered = Vec::new();
    for slug in slugs {
        let mut versions: Vec<(u64, Machine)> = machines
            .iter()
            .filter(|(_, machine)| machine.slug == slug)
            .cloned()
            .collect();
        versions.sort_by_key(|(_, machine)| machine.version);
        let numbers: Vec<u32> = versions.iter().map(|(_, machine)| machine.version).collect();
        let first_line = versions.iter().map(|(line, _)| *line).min().unwrap_or_default();
        let doubles_are_noted = folder.faults.iter().any(|fault| fault.file == MACHINES.name);
        if !numbers.iter().copied().eq(1..=numbers.len() as u32) && !doubles_are_noted {
            let list: Vec<String> = numbers.iter().map(ToString::to_string).collect();
            let problem = format!(
                "the versions of '{slug}' are {}; they run from 1 without a gap, and an empty one is the first",
                list.join(", ")
            );
            folder.faults.push(Fault::new(
                MACHINES.name,
                first_line,
                "version",
                &list.join(", "),
                problem,
            ));
        }
        ordered.extend(versions);
    }
    ordered
}

/// A contact belongs to a version that machines.csv has.
fn refuse_contacts_of_no_version(
    folder: &mut Folder,
    machines: &[Machine],
    contacts: &[(u64, (MachineSlug, u32, MachineContact))],
) {
    for (line, (slug, version, _)) in contacts {
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
            folder
                .faults
                .push(Fault::new(CONTACTS.name, *line, "version", &text, problem));
        }
    }
}

fn contact(names: &Names<'_>, cells: &mut Cells<'_>) -> Option<(MachineSlug, u32, MachineContact)> {
    let version = cells.version("version");
    let machine = cells.reference("machine", MachineSlug::new, names.machines, "machines.csv");
    let name = cells.name("contact", |text| {
        MachineSlug::new(text).map(|name| name.to_string())
    });
    let parameters_json = cells.text("parameters");
    let preset = match Preset::parse(cells.trimmed("preset"), &parameters_json) {
        Ok(preset) => Some(preset),
        Err(fault) if fault.key == "preset" => cells.refuse("preset", fault.to_string()),
        Err(fault) => cells.refuse("parameters", fault.to_string()),
    };
    let share = cells.number("share", Range::From0To1);
    let main_modes = cells.modes("main_modes");
    let secondary_modes = cells.modes("secondary_modes");
    let minor_modes = cells.modes("minor_modes");
    let contact = MachineContact {
        name: name?,
        preset: preset?,
        parameters_json,
        share: share?,
        main_modes: main_modes?,
        secondary_modes: secondary_modes?,
        minor_modes: minor_modes?,
    };
    Some((machine?, version?, contact))
}

fn check_shares(folder: &mut Folder, machine: &Machine, line: u64, first_line: Option<u64>) {
    let slug = machine.slug.as_str();
    let Some(first_line) = first_line else {
        let problem = "the machine has no contact; nothing can be compared with it";
        folder
            .warnings
            .push(Fault::new(MACHINES.name, line, "machine", slug, problem));
        return;
    };
    let sum: f64 = machine.contacts.iter().map(|contact| contact.share).sum();
    if (sum - 1.0).abs() > SHARE_TOLERANCE + 1e-9 {
        let problem = format!("the shares of the contacts of '{slug}' sum to {sum:.3}, not to 1");
        let shares: Vec<String> = machine.contacts.iter().map(|c| c.share.to_string()).collect();
        folder.faults.push(Fault::new(
            CONTACTS.name,
            first_line,
            "share",
            &shares.join(" + "),
            problem,
        ));
    }
}
