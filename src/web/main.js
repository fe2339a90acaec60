// SPDX-License-Identifier: GPL-3.0-or-later
// The page: one sheet, shown as a form and as text, and the program's answers to it. The sheet's
// text is the only state; whatever changes it, everything else is drawn anew from it.

const AT_ONCE_MS = 5000, STUDY_MS = 60000; // what one task may take
const state = { text: '', file: 'my-car.yaml', units: '', before: [] };
let quick, slow, form, editor, described, examples;

const ask = (lines, program = quick, progress = null) =>
    program.ask(state.file, state.text, lines, progress);

// ---- a change ----

function change(text, { keep = true } = {}) {
    if (text === state.text) return;
    say('');
    if (keep) state.before.push(state.text);
    state.text = text;
    editor.set(text);
    byId('undo').disabled = state.before.length === 0;
    check();
    share();
}

// What a person types into the editor, letter by letter: one step back undoes all of it.
const typed = (() => {
    let last = 0;
    return (text) => {
        const keep = Date.now() - last > 2000;
        last = Date.now();
        change(text, { keep });
    };
})();

async function answer(pairs) {
    if (pairs.length === 0) return;
    const answers = await ask([['put', state.file, ...pairs.flat()]]);
    if (!answers) return;
    if (answers[0].code === 0) change(answers[0].out);
    else say('That cannot be put into this sheet from here; change it in the sheet itself.');
}

function open(text, file) {
    state.file = file.replace(/[^\w.-]+/g, '-').replace(/^[-.]+/, '') || 'sheet.yaml';
    if (!/\.ya?ml$/.test(state.file)) state.file += '.yaml';
    state.units = '';
    change(text.replace(/\r\n?/g, '\n'));
}

function say(text) {
    byId('say').textContent = text;
}

// ---- the answers ----

const PAGE = (more) => ['page', state.file, ...(state.units ? ['--units', state.units] : []), ...more];

async function check() {
    let answers;
    slow.stop();
    try {
        answers = await ask([['values', state.file], PAGE(['--check-only'])]);
    } catch (error) {
        say(`The check: ${error.message}.`);
        return;
    }
    if (!answers) return;
    const [values, page] = answers;
    const { good, sheet } = JSON.parse(values.out);
    const units = state.units || (sheet && /^us$/i.test(sheet.units) ? 'us' : 'metric');
    for (const radio of document.getElementsByName('units')) radio.checked = radio.value === units;
    form.show(good ? sheet || {} : null, units);
    byId('locked').hidden = good;
    const faults = page.code > 1 ? faultsOf(page.err) : [];
    editor.show(faults);
    byId('faulty').hidden = faults.length === 0;
    if (page.code > 1) showFaults(faults, page.err);
    else {
        report(page.out);
        study();
    }
    document.body.dataset.checked = state.text.length; // for those who wait for it
}

// "sheet.yaml:3:17: displacement has no unit; write '2.0 L'", and lines that show the place.
function faultsOf(text) {
    const start = `${state.file}:`;
    return text.split('\n').filter((line) => line.startsWith(start)).map((line) => {
        const [, row, column, what] = /^(\d+):(\d+): (.*)$/.exec(line.slice(start.length)) || [0, 1, 1, line.slice(start.length)];
        return { line: Number(row), column: Number(column), text: what };
    });
}

function showFaults(faults, text) {
    byId('verdict').className = '';
    byId('verdict').replaceChildren(element('p', null, faults.length
        ? `Not yet: ${faults[0].text}${faults.length > 1 ? ` (and ${faults.length - 1} more)` : ''}` : text));
    byId('next').textContent = '';
    byId('report').classList.add('old');
    byId('raw').textContent = text;
}

// The page of the program is taken apart and shown here: its style sheet, then what is in it.
function report(html) {
    const [, style] = /<style>([^<]*)<\/style>/.exec(html);
    const page = new DOMParser().parseFromString(html.replace(`<style>${style}</style>`, ''), 'text/html');
    if (report.style !== style) {
        const sheet = new CSSStyleSheet();
        sheet.replaceSync(style);
        document.adoptedStyleSheets = [sheet, ...document.adoptedStyleSheets.slice(report.style ? 1 : 0)];
        report.style = style;
    }
    const place = byId('report');
    const opened = [...place.querySelectorAll('details')].map((at) => at.open);
    const [header, main, footer] = [...page.body.children].map((part) => {
        const box = document.createElement('div');
        box.append(...part.childNodes);
        return box;
    });
    const title = header.querySelector('h1');
    const heading = element('h2', { class: 'title' });
    heading.append(...title.childNodes);
    title.replaceWith(heading);
    document.title = `${heading.textContent} - fuelreach`;
    for (const at of main.querySelectorAll('h2')) at.replaceWith(renamed(at, 'h3'));
    place.className = page.body.className;
    place.replaceChildren(header, main, footer);
    place.querySelectorAll('details').forEach((at, i) => { at.open = Boolean(opened[i]); });
    byId('raw').textContent = '';
    showVerdict(main);
}

function renamed(old, tag) {
    const made = document.createElement(tag);
    for (const { name, value } of old.attributes) made.setAttribute(name, value);
    made.append(...old.childNodes);
    return made;
}

function showVerdict(main) {
    const first = main.querySelector('.verdict p');
    byId('verdict').replaceChildren(first.cloneNode(true));
    byId('verdict').className = main.querySelector('.verdict').className;
    const rows = [...main.querySelectorAll('#assumed ~ .scroll tbody tr')].filter((row) =>
        row.querySelector('td[data-label="moves"]')).slice(0, 2);
    byId('next').textContent = rows.length
        ? `Write down next: ${rows.map((row) => row.querySelector('th').textContent).join(' and ')}.` : '';
}

// The odds and the parts, which take longer: the whole page again, with them in it.
const study = settled(250, async () => {
    const asked = state.text;
    byId('working').hidden = false;
    byId('part').value = 0;
    try {
        const answers = await ask([PAGE([])], slow, (percent) => { byId('part').value = percent; });
        if (answers && answers[0].code <= 1 && asked === state.text) report(answers[0].out);
    } catch (error) {
        say(`The odds: ${error.message}.`);
    }
    byId('working').hidden = true;
    document.body.dataset.studied = asked.length;
});

// ---- more of the program ----

async function more(name, line) {
    const place = byId(`${name}-answer`), stop = byId(`${name}-stop`), part = byId(`${name}-part`);
    place.textContent = '';
    stop.hidden = part.hidden = false;
    part.removeAttribute('value');
    slow.stop();
    try {
        const answers = await ask([line], slow, (percent) => { part.value = percent; });
        place.textContent = answers ? answers[0].out + answers[0].err.replace(/\r[^\n]*?(\r|$)/g, '') : 'Stopped.';
    } catch (error) {
        place.textContent = `${error.message}.`;
    }
    stop.hidden = part.hidden = true;
}

function makeMore() {
    const units = () => (state.units ? ['--units', state.units] : []);
    const studies = {
        promise: () => ['promise', state.file, '--draws', byId('draws').value, ...units()],
        size: () => ['size', state.file, ...units()],
        explain: () => ['explain', state.file, ...(byId('blend').value ? ['--blend', byId('blend').value] : []),
            ...(byId('speed').value ? ['--speed', byId('speed').value] : [])],
        tank: () => ['tank', ...tankWords(), ...units()],
    };
    for (const [name, line] of Object.entries(studies)) {
        byId(`${name}-go`).addEventListener('click', () => more(name, line()));
        byId(`${name}-stop`).addEventListener('click', () => slow.stop());
    }
    byId('tank-orders').append(...described.commands.tank.filter(({ value, name }) => value && !['format', 'units'].includes(name))
        .map(({ name, value, help, repeats }) => element('div', { class: 'ask' },
            element('label', { for: `tank-${name}` }, name), ' ',
            element('input', { id: `tank-${name}`, size: 14, placeholder: value, autocomplete: 'off' }),
            element('span', { class: 'soft' }, ` ${help}${repeats ? '; several with ; between' : ''}`))));
}

function tankWords() {
    return [...byId('tank-orders').querySelectorAll('input')].flatMap((input) =>
        input.value.split(';').map((one) => one.trim()).filter(Boolean)
            .flatMap((one) => [`--${input.id.slice('tank-'.length)}`, one]));
}

// ---- opening, saving, sending ----

const share = settled(300, async () => {
    const fragment = await toFragment(state.text);
    history.replaceState(null, '', fragment);
});

async function openFile(file) {
    if (!file) return;
    if (file.size > SHEET_MOST) say(`${file.name} is too long for a build sheet.`);
    else open(await file.text(), file.name);
}

function choose(way) {
    for (const [name, panel] of [['form', 'form-panel'], ['sheet', 'sheet-panel']]) {
        byId(`${name}-tab`).setAttribute('aria-selected', String(name === way));
        byId(`${name}-tab`).tabIndex = name === way ? 0 : -1;
        byId(panel).hidden = name !== way;
    }
    editor.number();
}

function listen() {
    byId('open').addEventListener('change', (event) => openFile(event.target.files[0]));
    byId('save').addEventListener('click', () => save(state.file, state.text));
    byId('undo').addEventListener('click', () => {
        if (state.before.length) change(state.before.pop(), { keep: false });
    });
    byId('link').addEventListener('click', async () => {
        history.replaceState(null, '', await toFragment(state.text));
        try {
            await navigator.clipboard.writeText(location.href);
            say('The link is copied: it holds this build.');
        } catch {
            say('The address above holds this build: copy it from there.');
        }
    });
    byId('print').addEventListener('click', () => window.print());
    byId('begin').addEventListener('change', (event) => {
        const name = event.target.value;
        if (name === 'new') begin();
        else if (name) open(examples[name], name.split('/').pop());
        event.target.value = '';
    });
    byId('cancel').addEventListener('click', () => slow.stop());
    for (const radio of document.getElementsByName('units'))
        radio.addEventListener('change', () => { state.units = radio.value; check(); });
    for (const way of ['form', 'sheet']) {
        byId(`${way}-tab`).addEventListener('click', () => choose(way));
        byId(`${way}-tab`).addEventListener('keydown', ({ key }) => {
            if (key !== 'ArrowLeft' && key !== 'ArrowRight') return;
            const other = way === 'form' ? 'sheet' : 'form';
            choose(other);
            byId(`${other}-tab`).focus();
        });
    }
    document.addEventListener('dragover', (event) => event.preventDefault());
    document.addEventListener('drop', (event) => {
        event.preventDefault();
        openFile(event.dataTransfer.files[0]);
    });
    window.addEventListener('hashchange', fromAddress);
}

async function begin() {
    const answers = await ask([['begin']]);
    if (answers) open(answers[0].out, 'my-car.yaml');
}

async function fromAddress() {
    try {
        const text = await fromFragment(location.hash);
        if (text === null) return false;
        open(text, 'from-the-link.yaml');
        return true;
    } catch (error) {
        await begin();
        say(`Not opened: ${error.message}.`);
        return true;
    }
}

function listExamples() {
    byId('begin').append(...Object.entries(examples).map(([path, text]) => {
        const name = (/^name: *(.*)$/m.exec(text) || [0, path])[1];
        return element('option', { value: path }, name);
    }));
}

async function main() {
    const packed = JSON.parse(byId('files').textContent);
    examples = Object.fromEntries(Object.entries(packed).filter(([path]) => path.startsWith('examples/')));
    const wasm = await inflated(fromBase64(byId('program').textContent.trim()), 'gzip', 1 << 26);
    const seed = { worker: byId('worker').textContent, module: await WebAssembly.compile(wasm), files: packed };
    quick = new Program(seed, AT_ONCE_MS);
    slow = new Program(seed, STUDY_MS);
    const [description, parts] = await ask([['describe'], ['parts', '--format', 'json']]);
    described = JSON.parse(description.out);
    const shelf = JSON.parse(parts.out).parts;
    byId('version').textContent = described.version;
    form = new Form(byId('form-panel'), described, shelf, answer);
    editor = new Editor(byId('sheet'), described, shelf, typed);
    makeMore();
    listExamples();
    listen();
    document.body.classList.add('ready');
    if (!(await fromAddress())) await begin();
}

main().catch((error) => say(`This browser cannot run the check: ${error.message}. It needs WebAssembly and DecompressionStream.`));
