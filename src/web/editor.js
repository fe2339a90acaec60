// SPDX-License-Identifier: GPL-3.0-or-later
// The sheet as text: line numbers, what is wrong under its line, and names completed. The text
// itself is a plain textarea, so that every keyboard, phone and screen reader knows it; its lines
// stand far enough apart that a message fits between two of them.

class Editor {
    // `changed(text)` hears every change a person makes.
    constructor(area, described, parts, changed) {
        this.area = area;
        this.described = described;
        this.parts = parts;
        this.changed = changed;
        this.numbers = byId('numbers');
        this.marks = byId('marks');
        this.list = byId('complete');
        this.offers = [];
        area.addEventListener('input', () => {
            this.number();
            this.offer();
            changed(area.value);
        });
        area.addEventListener('keydown', (event) => this.key(event));
        area.addEventListener('blur', () => setTimeout(() => this.close(), 150));
        area.addEventListener('scroll', () => { this.marks.parentNode.scrollLeft = area.scrollLeft; });
    }

    set(text) {
        if (this.area.value !== text) this.area.value = text;
        this.number();
    }

    number() {
        const lines = this.area.value.split('\n').length;
        this.area.rows = lines + 1;
        if (this.numbers.childElementCount !== lines)
            this.numbers.replaceChildren(...Array.from({ length: lines }, (_, i) => element('span', null, `${i + 1}`)));
    }

    // `faults`: {line, column, text}. Under the line itself, and below the sheet as a list.
    show(faults) {
        const first = new Map();
        for (const fault of faults) if (!first.has(fault.line)) first.set(fault.line, fault);
        this.marks.replaceChildren(...this.area.value.split('\n').map((_, i) => {
            const fault = first.get(i + 1);
            return element('span', null, fault ? `${' '.repeat(Math.max(0, fault.column - 1))}^ ${fault.text}` : '');
        }));
        this.area.setAttribute('aria-invalid', faults.length > 0);
        byId('faults').replaceChildren(...faults.map((fault) => element('li', null,
            element('button', { type: 'button', class: 'link', onclick: () => this.go(fault) }, `Line ${fault.line}`),
            `: ${fault.text}`)));
    }

    go({ line, column }) {
        const start = this.area.value.split('\n').slice(0, line - 1).join('\n').length + (line > 1 ? 1 : 0);
        this.area.focus();
        this.area.setSelectionRange(start + column - 1, start + column - 1);
    }

    // ---- completion ----

    // The keys that lead to a line, from its indentation: ['supply', 'port_injection'].
    pathTo(lines, indent) {
        const path = [];
        for (let i = lines.length - 1; i >= 0 && indent > 0; i--) {
            const found = /^(\s*)(?:- )?([\w-]+):/.exec(lines[i]);
            if (found && found[1].length < indent) {
                indent = found[1].length;
                path.unshift(found[2]);
            }
        }
        return path;
    }

    section(path) {
        const find = (name) => this.described.sections.find((section) => section.name === name);
        return path.reduce((section, key) => {
            const field = section && section.fields.find((one) => one.key === key);
            return field && field.section ? find(field.section) : null;
        }, this.described.sections[0]);
    }

    // What may stand where the caret is: {from, words: [{word, about}]}.
    possible() {
        const before = this.area.value.slice(0, this.area.selectionStart);
        const lines = before.split('\n'), line = lines.pop();
        const indent = /^\s*/.exec(line)[0].length;
        const opened = [...line.matchAll(/([\w-]+):\s*[{[]/g)].map((match) => match[1]);
        const path = this.pathTo(lines, indent).concat(opened);
        const section = this.section(path);
        const key = /(?:^\s*(?:- )?|[{,]\s*)([\w-]*)$/.exec(line);
        const value = /([\w-]+):\s*(?:\[[^\]]*?)?([\w-]*)$/.exec(line);
        if (value) {
            const inside = this.section(opened.at(-1) === value[1] ? path.slice(0, -1) : path);
            const field = inside && inside.fields.find((one) => one.key === value[1]);
            if (!field) return null;
            const kind = field.part ? field.section : null;
            const words = field.words.map((word) => ({ word, about: '' }))
                .concat(kind && kind !== 'gasoline' && kind !== 'line' && kind !== 'filter' && kind !== 'wiring'
                    ? [{ word: 'factory', about: 'as the car was built' }] : [])
                .concat(this.parts.filter((part) => part.kind === kind).map((part) => ({ word: part.name, about: part.title })));
            return { typed: value[2], words };
        }
        if (!key || !section) return null;
        const keys = section.fields.map((field) => ({ word: `${field.key}: `, about: field.about }));
        return { typed: key[1], words: keys };
    }

    offer() {
        const found = this.possible();
        const words = found && found.typed ? found.words.filter(({ word }) =>
            word.startsWith(found.typed) && word.trim() !== found.typed) : [];
        if (words.length === 0) {
            this.close();
            return;
        }
        this.typed = found.typed;
        this.offers = words.slice(0, 8);
        this.at = 0;
        this.draw();
    }

    draw() {
        this.list.replaceChildren(...this.offers.map(({ word, about }, i) => element('li', {
            role: 'option', id: `offer-${i}`, 'aria-selected': String(i === this.at), title: about,
            onmousedown: (event) => { event.preventDefault(); this.at = i; this.take(); } },
            element('b', null, word.trim()), about ? ` ${about}` : '')));
        const line = this.area.value.slice(0, this.area.selectionStart).split('\n').length;
        this.list.hidden = false;
        this.list.style.top = `calc(${line} * var(--line) + .5rem)`;
        this.area.setAttribute('aria-activedescendant', `offer-${this.at}`);
    }

    close() {
        this.offers = [];
        this.list.hidden = true;
        this.area.removeAttribute('aria-activedescendant');
    }

    take() {
        const end = this.area.selectionStart;
        this.area.setRangeText(this.offers[this.at].word, end - this.typed.length, end, 'end');
        this.close();
        this.number();
        this.changed(this.area.value);
    }

    // Tab stays what it is to those who walk by keyboard: it leaves the sheet.
    key(event) {
        if (this.offers.length === 0) return;
        const step = { ArrowDown: 1, ArrowUp: -1 }[event.key];
        if (step) {
            this.at = (this.at + step + this.offers.length) % this.offers.length;
            this.draw();
        } else if (event.key === 'Enter') {
            this.take();
        } else if (event.key === 'Escape') {
            this.close();
        } else {
            return;
        }
        event.preventDefault();
    }
}
