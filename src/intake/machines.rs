//! machines.csv, contacts.csv.

use crate::intake::Fault;
use crate::intake::cells::{Cells, Range};
use crate::intake::folder::{Folder, Names};
use crate::records::rows::{CONTACTS, MACHINES};
use crate::records::{Machine, MachineContact, MachineSlug, Preset};

/// Shares of a machine's contacts sum to 1 within this: three thirds written as 0.333 do.
const SHARE_TOLERANCE: f64 = 0.005;

pub(crate) fn machines(folder: &mut Folder) -> Vec<Machine> {
    folder.refuse_doubles(MACHINES, &["machine"]);
    folder.refuse_doubles(CONTACTS, &["machine", "contact"]);
    let machines = folder.read(MACHINES, |_, cells| {
        let slug = cells.name("machine", MachineSlug::new);
        Some(Machine {
            slug: slug?,
            name: cells.text("name"),
            kind: cells.text("kind"),
            note: cells.text("note"),
            caution: cells.text("caution"),
            contacts: Vec::new(),
        })
    });
    let faults_before = folder.faults.len();
    let contacts = folder.read(CONTACTS, contact);
    let all_contacts_read = folder.faults.len() == faults_before;
    let mut complete = Vec::new();
    for (line, mut machine) in machines {
        let own = contacts.iter().filter(|(_, (slug, _))| *slug == machine.slug);
        let first_line = own.clone().next().map(|(line, _)| *line);
        machine.contacts = own.map(|(_, (_, contact))| contact.clone()).collect();
        if all_contacts_read {
            check_shares(folder, &machine, line, first_line);
        }
        complete.push(machine);
    }
    complete
}

fn contact(names: &Names<'_>, cells: &mut Cells<'_>) -> Option<(MachineSlug, MachineContact)> {
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
    Some((machine?, contact))
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
