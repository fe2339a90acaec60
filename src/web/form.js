// SPDX-License-Identifier: GPL-3.0-or-later
// The form, drawn from the program's own description and filled from the sheet's values. An answer
// is told as [path, value] pairs, value '' takes the field out; the sheet is the only state.

const QUANTITY = /^\s*([-+\u2212]?[\d.]+(?:e[-+]?\d+)?)\s*(.*?)(\s*(?:±|\+\/-).*)?$/i;

function valueAt(sheet, path) {
    return path.split('.').reduce((at, key) => (at && typeof at === 'object' ? at[key] : undefined), sheet);
}

class Form {
    // `tell(pairs)` hears answers.
    constructor(place, described, parts, tell) {
        this.tell = tell;
        this.parts = parts;
        this.units = 'metric';
        this.rows = [];
        described.form.forEach((question, i) => place.append(this.question(question, i + 1)));
    }

    question(question, number) {
        const parts = question.asks.map((ask, i) => {
            const row = { ask, id: `q${number}-${i}`, alone: question.asks.length === 1 };
            this.rows.push(row);
            row.box = element('div', { class: 'ask' });
            row.note = element('p', { class: 'note soft', hidden: true });
            this.make(row, question.text);
            row.box.append(row.note);
            return row.box;
        });
        return element('fieldset', { class: 'question' },
            element('legend', null, `${number}. ${question.text}`), ...parts,
            element('p', { class: 'soft' }, question.help));
    }

    make(row, text) {
        const { ask } = row;
        ({ quantity: () => this.makeQuantity(row, ask.label || text), whole: () => this.makeWhole(row),
           word: () => this.makeRadios(row, (value) => this.tell([[ask.path, value]])),
           blends: () => this.makeBlends(row), sections: () => this.makeSections(row),
           part: () => this.makePart(row, ask.label || text) })[ask.control]();
    }

    // Sets every control to what the sheet says. `sheet` null: it cannot be read.
    show(sheet, units) {
        this.units = units;
        const factory = sheet && this.rows.some(({ ask }) => ask.control === 'part' &&
            this.isThere(ask, sheet) && /"factory"/.test(JSON.stringify(valueAt(sheet, ask.path) || '')));
        for (const row of this.rows) {
            const when = row.ask.when;
            row.box.hidden = Boolean(sheet && when && (when === 'factory' ? !factory
                : valueAt(sheet, when) === undefined));
            for (const control of row.box.querySelectorAll('input, select')) control.disabled = !sheet;
            if (sheet) row.show(valueAt(sheet, row.ask.path), sheet);
        }
        for (const field of document.querySelectorAll('.question'))
            field.hidden = [...field.querySelectorAll('.ask')].every((box) => box.hidden);
    }

    isThere(ask, sheet) {
        return !ask.when || valueAt(sheet, ask.when) !== undefined;
    }

    note(row, text) {
        row.note.textContent = text;
        row.note.hidden = !text;
    }

    needed(row, value) {
        const missing = value === undefined && (row.ask.needed || row.ask.when === 'factory');
        this.note(row, missing ? 'Needed.' : '');
        row.box.classList.toggle('missing', missing);
    }

    // ---- a number and its unit ----

    unitBox(ask, label, changed) {
        return element('select', { 'aria-label': `Unit of ${label}`, onchange: changed },
            ...ask.units.split(' ').map((unit) => element('option', null, unit)));
    }

    // The unit of a value as it is written, or the one of the reader's system.
    setUnit(box, ask, unit) {
        const own = unit || (this.units === 'us' && ask.unit_us) || ask.unit || box.options[0].value;
        if (![...box.options].some((option) => option.value === own)) box.append(element('option', null, own));
        box.value = own;
    }

    makeQuantity(row, label) {
        const { ask } = row;
        let rest = '';
        const number = element('input', { id: row.id, inputmode: 'decimal', autocomplete: 'off',
            size: 8, title: ask.about,
            placeholder: ask.blank ? '' : null, onchange: () => told() });
        const unit = this.unitBox(ask, label, () => number.value && told());
        const told = () => this.tell([[ask.path, number.value.trim()
            ? `${number.value.trim()} ${unit.value}${rest}` : '']]);
        row.box.append(element('label', { for: row.id, class: row.alone ? 'hidden-label' : null }, label), ' ', number, ' ', unit);
        const empty = ask.blank || (ask.default || ask.rule ? `leave empty: ${ask.default || ask.rule}` : '');
        row.show = (value) => {
            const read = typeof value === 'string' ? QUANTITY.exec(value) : null;
            const odd = value !== undefined && !read;
            number.value = read ? read[1] : '';
            rest = (read && read[3]) || '';
            this.setUnit(unit, ask, read && read[2]);
            number.disabled = unit.disabled = odd;
            this.needed(row, value);
            if (odd) this.note(row, 'The sheet spells this out; change it there.');
            else if (rest) this.note(row, `with${rest}`);
            else if (value === undefined && row.note.hidden && empty) this.note(row, empty);
        };
    }

    makeWhole(row) {
        const { ask } = row;
        const number = element('input', { id: row.id, type: 'number', min: ask.least, max: ask.most, step: 1,
            title: ask.about, onchange: () => this.tell([[ask.path, number.value]]) });
        row.box.append(element('label', { for: row.id }, ask.label), ' ', number);
        row.show = (value) => {
            number.value = /^\d+$/.test(value) ? value : '';
            this.needed(row, value);
        };
    }

    // ---- one of a few ----

    makeRadios(row, told) {
        row.radios = row.ask.choices.map(({ value, label }, i) => {
            const radio = element('input', { type: 'radio', name: row.id, id: `${row.id}-${i}`, value,
                onchange: () => told(value) });
            row.box.append(element('label', { for: radio.id, class: 'choice' }, radio, ` ${label}`));
            return radio;
        });
        row.show = (value) => {
            const word = (typeof value === 'string' ? value : value === undefined ? row.ask.default || '' : '?')
                .toLowerCase();
            for (const radio of row.radios) radio.checked = radio.value === word;
            this.needed(row, value);
            if (value !== undefined && !row.radios.some((radio) => radio.checked))
                this.note(row, 'The sheet says something else; a choice here takes its place.');
        };
    }

    makeSections(row) {
        const { sections } = row.ask;
        let sheet = {};
        this.makeRadios(row, (value) => this.tell(sections.flatMap(({ path, holds }, i) => {
            const there = valueAt(sheet, path) !== undefined;
            return value[i] === '1' ? (there ? [] : [[path, holds]]) : there ? [[path, '']] : [];
        })));
        row.show = (value, whole) => {
            sheet = whole;
            const word = sections.map(({ path }) => (valueAt(whole, path) !== undefined ? '1' : '0')).join('');
            for (const radio of row.radios) radio.checked = radio.value === word;
        };
    }

    // ---- blends ----

    makeBlends(row) {
        const { ask } = row;
        const boxes = ask.choices.map(({ value, label }, i) => {
            const box = element('input', { type: 'checkbox', id: `${row.id}-${i}`, value, onchange: () => told() });
            row.box.append(element('label', { for: box.id, class: 'choice' }, box, ` ${label}`));
            return box;
        });
        const others = element('input', { id: row.id, size: 12, placeholder: 'E60, E77', autocomplete: 'off',
            onchange: () => told() });
        row.box.append(element('label', { for: row.id }, ask.label), ' ', others);
        let given = [];
        const ethanol = (blend) => Number(blend.slice(1)) || 0;
        const rising = (blends) => blends.every((blend, i) => i === 0 || ethanol(blend) >= ethanol(blends[i - 1]));
        const told = () => {
            const wanted = boxes.filter((box) => box.checked).map((box) => box.value)
                .concat(others.value.split(/[\s,]+/).filter(Boolean));
            const all = given.filter((blend) => wanted.includes(blend))
                .concat(wanted.filter((blend) => !given.includes(blend)));
            if (rising(given)) all.sort((a, b) => ethanol(a) - ethanol(b));
            this.tell([[ask.path, all.length ? `[${all.join(', ')}]` : '']]);
        };
        row.show = (value) => {
            given = Array.isArray(value) ? value
                : (typeof value === 'string' ? value : ask.default.replace(/[[\]\s]/g, '')).split(',');
            for (const box of boxes) box.checked = given.includes(box.value);
            others.value = given.filter((blend) => !boxes.some((box) => box.value === blend)).join(', ');
        };
    }

    // ---- a part ----

    makePart(row, label) {
        const { ask } = row;
        const ways = [['factory', 'As built'], ['size', 'A size']];
        if (ask.of_factory) ways.splice(1, 0, ['larger', 'Larger than as built, by']);
        const names = this.parts.filter((part) => part.kind === ask.kind);
        if (names.length) ways.push(['name', 'One of the parts here']);
        const way = element('select', { id: row.id, title: ask.about, onchange: () => { lay(); told(); } },
            element('option', { value: '' }, 'Choose…'),
            ...ways.map(([value, text]) => element('option', { value }, text)));
        const field = (name, size, more) => element('input', { size, inputmode: 'decimal', autocomplete: 'off',
            'aria-label': `${name} of ${label}`, onchange: () => told(), ...more });
        const size = field('Size', 7), at = field('Pressure', 8, { placeholder: ask.rated_at, inputmode: 'text' });
        const larger = field('Percent', 5);
        const unit = this.unitBox(ask, label, () => told());
        const name = element('select', { 'aria-label': `Part: ${label}`, onchange: () => told() },
            ...names.map((part) => element('option', { value: part.name, title: part.title }, `${part.name}: ${part.title}`)));
        const count = element('input', { type: 'number', min: 1, max: ask.count_most || 1, step: 1,
            'aria-label': `How many: ${label}`, onchange: () => told() });
        const boxes = {
            size: element('span', null, size, ' ', unit, ...(ask.rated_at ? [' at ', at] : [])),
            larger: element('span', null, larger, ' %'),
            name: element('span', null, name),
            count: element('span', null, ' how many ', count),
        };
        row.box.append(element('label', { for: row.id, class: row.alone ? 'hidden-label' : null }, label), ' ', way, ' ',
            boxes.larger, boxes.size, boxes.name, boxes.count);

        const lay = () => {
            for (const kind of ['size', 'larger', 'name']) boxes[kind].hidden = way.value !== kind;
            boxes.count.hidden = !ask.count_most || !way.value;
        };
        const told = () => {
            const base = { factory: 'factory', larger: 'factory', name: name.value,
                size: size.value.trim() && `${size.value.trim()} ${unit.value}${at.value.trim() ? ` at ${at.value.trim()}` : ''}` }[way.value];
            const more = [];
            if (way.value === 'larger' && larger.value.trim()) more.push(`of_factory: ${100 + Number(larger.value)} %`);
            if (Number(count.value) > 1) more.push(`count: ${count.value}`);
            if (base) this.tell([[ask.path, more.length ? `{part: ${base}, ${more.join(', ')}}` : base]]);
        };
        row.show = (value) => {
            const known = this.readPart(value);
            for (const input of [way, size, at, larger, unit, name, count]) input.disabled = !known;
            this.setUnit(unit, ask, known && known.unit);
            way.value = known ? known.way : '';
            size.value = (known && known.size) || '';
            at.value = (known && known.at) || '';
            larger.value = (known && known.larger) || '';
            if (known && known.way === 'name') {
                if (![...name.options].some((option) => option.value === known.name))
                    name.append(element('option', null, known.name));
                name.value = known.name;
            }
            count.value = (known && known.count) || 1;
            lay();
            this.needed(row, value);
            if (!known) this.note(row, 'The sheet spells this part out; change it there.');
        };
    }

    // What a part in the sheet is to the form; null when it says more than the form can.
    readPart(value) {
        if (value === undefined || value === null || value === '') return { way: '' };
        const whole = typeof value === 'object' ? value : { part: value };
        const { part, count, of_factory: ofFactory, ...more } = whole;
        if (typeof part !== 'string' || Object.keys(more).length > 0) return null;
        if (part.toLowerCase() === 'factory') {
            const larger = ofFactory ? parseFloat(ofFactory) - 100 : 0;
            return { way: ofFactory ? 'larger' : 'factory', larger: Number(larger.toFixed(6)), count };
        }
        if (ofFactory) return null;
        const read = /^\s*[\d.]/.test(part) && QUANTITY.exec(part);
        if (!read) return { way: 'name', name: part, count };
        const [unit, at] = read[2].split(/\s+(?:at|@)\s+/i);
        return read[3] ? null : { way: 'size', size: read[1], unit, at, count };
    }
}
