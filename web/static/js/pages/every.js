/** What every page has: undo and redo, self-saving forms, remove buttons, the count of work under way. */

import { bringFile } from '../ui/bring_file.js';
import { foldPage } from '../ui/fold.js';
import { removeButton } from '../ui/remove.js';
import { saveForm } from '../ui/save_form.js';
import { carried, say } from '../ui/say.js';
import { setReed } from '../ui/set_reed.js';
import { stackTable } from '../ui/stack_table.js';
import { takeBack, undoButtons } from '../ui/undo.js';
import { workCount } from '../ui/work_count.js';

document.querySelectorAll('[data-undo]').forEach(undoButtons);
document.querySelectorAll('form[data-api]:not([data-own])').forEach((form) => saveForm(form));
document.querySelectorAll('[data-remove]').forEach(removeButton);
document.querySelectorAll('[data-bring-file]').forEach(bringFile);
document.querySelectorAll('[data-work-count]').forEach(workCount);
document.querySelectorAll('.table-wrap').forEach(stackTable);

setReed();
foldPage();

const said = carried();
if (said) say(said.text, { undo: takeBack, step: said.step });
