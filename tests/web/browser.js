// SPDX-License-Identifier: GPL-3.0-or-later
// Opens the page of the whole program in a headless browser, from the disk, and says what is wrong.
// usage: node browser.js chromium|firefox NODE_MODULES' FOLDER OUT PAGE NATIVE_FOLDER
// NATIVE_FOLDER holds NAME.check.json, NAME.promise.json and NAME.page.html of the native program.
// OUT gets a line a finding: "CHECK ok WHAT" or "CHECK wrong WHAT: why".
'use strict';
const fs = require('fs');
const http = require('http');
const path = require('path');
const { execFileSync } = require('child_process');
const { createRequire } = require('module');

const [browserName, folder, outPath, pageFile, nativeFolder] = process.argv.slice(2);
const need = createRequire(path.resolve(folder) + '/');
const ADDRESS = 'file://' + path.resolve(pageFile);
const lines = [];

function say(check, name, faults) {
    for (const fault of faults) lines.push(`${check} wrong ${name}: ${fault}`.replace(/\s+/g, ' '));
    if (faults.length === 0) lines.push(`${check} ok ${name}`);
}

const EXAMPLES = fs.readdirSync('examples').filter((name) => name.endsWith('.yaml'));
const ERRORS = fs.readdirSync('tests/golden/errors').filter((name) => name.endsWith('.yaml'))
    .filter((name) => isText(fs.readFileSync(`tests/golden/errors/${name}`)))
    .filter((name) => hasError(name, fs.readFileSync(`tests/golden/errors/${name.replace(/yaml$/, 'txt')}`, 'utf8')));

// What a person can type into a page: UTF-8 without control characters, line breaks as browsers have them.
function isText(bytes) {
    const text = bytes.toString('utf8');
    return Buffer.from(text, 'utf8').equals(bytes) && !/[^\n\t -\u{10ffff}]|\ufeff/u.test(text);
}

// A caution alone stops no check: it stands in the report, among its cautions.
function hasError(name, golden) {
    return new RegExp(`^${name}:\\d+:\\d+: (?!caution: )`, 'm').test(golden);
}

// ---- run inside the page, in either browser ----

// Opens a sheet and gives the answers of command lines for it.
async function answersTo({ text, file, words }) {
    open(text, file);
    await check();
    return ask(words, slow);
}

function sheetNow() {
    return { text: state.text, file: state.file, verdict: byId('verdict').textContent,
        marks: [...byId('marks').children].map((at) => at.textContent), faults: byId('faults').textContent };
}

// Answers the form as a customer would, every control of it, and tells what it shows afterwards.
async function fillForm(answers) {
    for (const [id, value] of answers) {
        const control = byId(id);
        if (control.type === 'radio' || control.type === 'checkbox') control.checked = true;
        else control.value = value;
        control.dispatchEvent(new Event('change', { bubbles: true }));
        for (let i = 0; i < 100 && quick.busy; i++) await new Promise((done) => setTimeout(done, 10));
        await check();
    }
}

function formNow() {
    return [...document.querySelectorAll('#form-panel input, #form-panel select')]
        .filter((control) => !control.closest('.ask').hidden)
        .map((control) => [control.id || control.getAttribute('aria-label'),
            control.type === 'radio' || control.type === 'checkbox' ? control.checked : control.value]);
}

// ---- the same figures ----

function differences(native, found, where = '') {
    if (typeof native === 'number' && typeof found === 'number') {
        const far = Math.abs(native - found) > 1e-9 * Math.max(Math.abs(native), 1e-9);
        return far ? [`${where}: ${native} and ${found}`] : [];
    }
    if (native && found && typeof native === 'object' && typeof found === 'object') {
        const keys = new Set([...Object.keys(native), ...Object.keys(found)]);
        return [...keys].flatMap((key) => differences(native[key], found[key], `${where}.${key}`));
    }
    return native === found ? [] : [`${where}: ${JSON.stringify(native)} and ${JSON.stringify(found)}`];
}

// The numbers of a text apart from its words; ids and all else must be the same letter by letter.
function textDifferences(native, found) {
    const NUMBER = /-?\d+(?:\.\d+)?/g;
    const words = native.replace(NUMBER, '#') === found.replace(NUMBER, '#') ? [] : ['other words'];
    return words.concat(differences((native.match(NUMBER) || []).map(Number), (found.match(NUMBER) || []).map(Number)).slice(0, 3));
}

async function sameFigures(page) {
    for (const name of EXAMPLES) {
        const text = fs.readFileSync(`examples/${name}`, 'utf8');
        const answers = await page.evaluate(answersTo, { text, file: name, words: [
            ['check', name, '--format', 'json'], ['promise', name, '--draws', '1024', '--format', 'json'],
            ['size', name, '--format', 'json'], ['page', name], ['explain', name]] });
        const native = (kind) => fs.readFileSync(path.join(nativeFolder, `${name}.${kind}`), 'utf8');
        ['check', 'promise', 'size'].forEach((kind, i) =>
            say('figures', `${kind} ${name}`, differences(JSON.parse(native(kind)), JSON.parse(answers[i].out)).slice(0, 3)));
        say('words', `page ${name}`, textDifferences(native('page'), answers[3].out));
        say('words', `explain ${name}`, textDifferences(native('explain'), answers[4].out));
    }
}

async function sameMessages(page) {
    for (const name of ERRORS) {
        const text = fs.readFileSync(`tests/golden/errors/${name}`, 'utf8');
        const golden = fs.readFileSync(`tests/golden/errors/${name.replace(/yaml$/, 'txt')}`, 'utf8');
        const [{ err }] = await page.evaluate(answersTo, { text, file: name, words: [['check', name]] });
        const now = await page.evaluate(sheetNow);
        const faults = err === golden ? [] : [`says ${err}`];
        const [, line, what] = new RegExp(`^${name}:(\\d+):\\d+: (.*)$`, 'm').exec(golden) || [];
        const isError = what && !/^caution: /.test(what);
        if (isError && !(now.marks[line - 1] || '').includes(what)) faults.push(`not under line ${line}: ${now.marks[line - 1]}`);
        if (isError && !now.faults.includes(what)) faults.push('not in the list');
        say('messages', name, faults);
    }
}

// ---- the form, and the sheet in the address ----

const CUSTOMER = [
    ['q1-0', '1.9'], ['q1-1', '4'], ['q2-0-1'], ['q2-1', '1.3'], ['q3-0', '187'], ['q4-0-0'], ['q5-0-1'],
    ['q5-0', 'E61'], ['q6-0', '6100'], ['q6-1', '6900'], ['q7-0-2'], ['q8-0', 'size'], ['q10-0-1'],
    ['q11-0-0'], ['q11-1', '3.2'], ['q12-1', '185'], ['q13-0', '121'],
];
const EXPECTED = ['displacement: 1.9 L', 'cylinders: 4', 'boost: 1.3 bar', 'target_power: 187 kW', 'power_at: wheels',
    'blends: [E10, E30, E61, E85]', 'peak_power_at: 6100 rpm', 'rev_limit: 6900 rpm', 'wiring: relay',
    'regulation: return', 'feed_pressure: 3.2 bar', 'rail_pressure: 185 bar', 'factory_power: 121 kW',
    'direct_injection: {injector: factory, high_pressure_pump: factory'];

async function formAndSheet(page, reopen) {
    const faults = [];
    await page.evaluate(() => begin().then(check));
    await page.evaluate(fillForm, CUSTOMER);
    const { text } = await page.evaluate(sheetNow);
    const form = await page.evaluate(formNow);
    for (const words of EXPECTED) if (!text.includes(words)) faults.push(`the sheet lacks '${words}': ${text}`);
    await page.evaluate(answersTo, { text: 'name: another\n', file: 'x.yaml', words: [] });
    await page.evaluate(answersTo, { text, file: 'y.yaml', words: [] });
    faults.push(...differences(form, await page.evaluate(formNow), 'form').slice(0, 5));
    say('form', 'a customer', faults);

    for (const name of EXAMPLES) {
        const sheet = fs.readFileSync(`examples/${name}`, 'utf8');
        await page.evaluate(answersTo, { text: sheet, file: name, words: [] });
        const before = await page.evaluate(formNow);
        const again = await page.evaluate(async () => {
            for (const control of document.querySelectorAll('#form-panel input:not([type=radio]), #form-panel select'))
                if (!control.disabled && !control.closest('.ask').hidden && !control.closest('span[hidden]') && control.value &&
                    control.type !== 'checkbox') {
                    control.dispatchEvent(new Event('change', { bubbles: true }));
                    for (let i = 0; i < 100 && quick.busy; i++) await new Promise((done) => setTimeout(done, 5));
                }
            await check();
            return state.text;
        });
        const after = await page.evaluate(formNow);
        const lost = differences(before, after, 'form').slice(0, 3);
        // an answer told again changes no word of the sheet but blanks
        const plain = (sheetText) => sheetText.replace(/\s+/g, ' ').replace(/\{part: ([\w-]+)\}/g, '$1');
        if (plain(again) !== plain(sheet)) lost.push(`the sheet changed: ${again.split('\n').filter((line) => !sheet.includes(line.trim())).join(' | ') || 'fewer lines'}`);
        say('form', name, lost);

        const fragment = await page.evaluate(() => toFragment(state.text));
        const { text: opened } = await reopen(fragment, (other) => other.evaluate(sheetNow));
        say('address', name, opened === again ? [] : [`'${opened.slice(0, 60)}'`]);
    }
    for (const bad of ['#sheet=AAAA', '#sheet=%3Cscript%3E', `#sheet=${'A'.repeat(40000)}`]) {
        const shown = await reopen(bad, (other) => other.evaluate(() => byId('say').textContent + byId('verdict').textContent));
        say('address', bad.slice(0, 20), /damaged|too long/.test(shown) ? [] : [shown]);
    }
}

// From a host of plain files it is the same page.
async function overHttp(openAt) {
    const server = http.createServer((request, response) => {
        response.writeHead(200, { 'Content-Type': 'text/html' });
        response.end(fs.readFileSync(pageFile));
    });
    await new Promise((done) => server.listen(0, '127.0.0.1', done));
    const page = await openAt('', `http://127.0.0.1:${server.address().port}/`);
    const text = fs.readFileSync('examples/tern-direct.yaml', 'utf8');
    await page.evaluate(answersTo, { text, file: 'tern-direct.yaml', words: [] });
    const { verdict } = await page.evaluate(sheetNow);
    say('http', 'tern-direct.yaml', /RUNS SHORT on E85/.test(verdict) ? [] : [verdict]);
    await page.close();
    server.closeAllConnections();
    server.close();
}

// ---- hostile sheets ----

async function hostile(page) {
    const name = '</script><script>alert(1)</script><img src=x onerror=alert(2)> \u{1F600} "\'&';
    const text = `name: ${JSON.stringify(name)}\nengine:\n  cylinders: 4\n  displacement: 2.0 L\n  target_power: 150 kW\n` +
        '  power_at: crank\n  factory_power: 120 kW # </pre><script>alert(3)</script>\nsupply:\n  lift_pump: factory\n' +
        '  port_injection: {injector: factory}\n';
    await page.evaluate(answersTo, { text, file: '<b onclick=alert(4)>.yaml', words: [] });
    const faults = await page.evaluate(() => {
        const found = [];
        for (const at of document.querySelectorAll('#report *, .answer *')) {
            if (/^(script|img|iframe|object|embed|link|base)$/i.test(at.tagName)) found.push(`<${at.tagName}>`);
            for (const { name: attribute } of at.attributes) if (/^on/i.test(attribute)) found.push(attribute);
        }
        return found;
    });
    const title = await page.evaluate(() => document.querySelector('#report .title').textContent);
    if (!title.includes('<script>alert(1)</script>')) faults.push(`the name reads ${title}`);
    say('hostile', 'a name', faults);

    const limited = await page.evaluate(async (sheet) => {
        const short = new Program(quick.seed, 1);
        const error = await short.ask('x.yaml', sheet, [['promise', 'x.yaml']]).then(() => 'it was in time', String);
        short.limit = 20000;
        const [{ code }] = await short.ask('x.yaml', sheet, [['check', 'x.yaml']]);
        return `${error} ${code}`;
    }, text);
    say('hostile', 'a study without end', /too long.* [01]$/.test(limited) ? [] : [limited]);
}

// ---- only in chromium ----

function stickingOut() {
    const wide = document.documentElement.clientWidth, faults = [];
    if (document.documentElement.scrollWidth > wide) faults.push(`the page is ${document.documentElement.scrollWidth} wide in ${wide}`);
    for (const at of document.querySelectorAll('body *')) {
        if (at.closest('.scroll, pre, .editor') && !at.matches('.scroll, pre, .editor')) continue;
        const box = at.getBoundingClientRect();
        if (box.width > 1 && box.right > wide + 0.5) faults.push(`<${at.tagName} ${at.id}> ends at ${box.right} of ${wide}`);
    }
    return faults.slice(0, 4);
}

async function accessible(page, where) {
    const result = await page.evaluate(() => axe.run({ exclude: [['details tr:nth-child(n+5)']] }, { resultTypes: ['violations'] }));
    say('accessible', where, result.violations.map((v) => `${v.id} ${v.help} at ${v.nodes[0].target} ${v.nodes[0].html.slice(0, 120)}`));
}

async function looks(page) {
    const text = fs.readFileSync('examples/tern-direct.yaml', 'utf8');
    await page.evaluate(answersTo, { text, file: 'tern-direct.yaml', words: [] });
    await page.waitForSelector('body[data-studied]');
    await page.evaluate(fs.readFileSync(need.resolve('axe-core/axe.min.js'), 'utf8'));
    for (const way of ['form', 'sheet']) {
        await page.click(`#${way}-tab`);
        for (const colorScheme of ['light', 'dark']) {
            await page.emulateMedia({ colorScheme });
            await accessible(page, `${way}, ${colorScheme}`);
        }
        for (const width of [360, 800, 1400]) {
            await page.setViewportSize({ width, height: 800 });
            say('overflow', `${way} at ${width}`, await page.evaluate(stickingOut));
        }
    }
    await page.evaluate(answersTo, { text: 'engine: {cylinders: 4}\nsupply:\n', file: 'x.yaml', words: [] });
    await accessible(page, 'a sheet with faults');
    say('overflow', 'a sheet with faults', await page.evaluate(stickingOut));
}

async function printed(page) {
    for (const name of ['tern-direct.yaml', 'tern-return.yaml']) {
        await page.emulateMedia({ media: null, colorScheme: 'light' });
        await page.evaluate(answersTo, { text: fs.readFileSync(`examples/${name}`, 'utf8'), file: name, words: [['page', name]] })
            .then(([{ out }]) => page.evaluate((html) => report(html), out));
        for (const format of ['A4', 'Letter']) {
            const pdf = path.join(path.dirname(outPath), `${name}.${format}.pdf`);
            await page.pdf({ path: pdf, format });
            const count = Number(/^Pages:\s+(\d+)/m.exec(execFileSync('pdfinfo', [pdf], { encoding: 'utf8' }))[1]);
            const first = execFileSync('pdftotext', ['-l', '1', pdf, '-'], { encoding: 'utf8' });
            const faults = count === 2 ? [] : [`${count} sides`];
            for (const words of ['Blends', 'Figure 1', 'Figure 2']) if (!first.includes(words)) faults.push(`no '${words}' on the first side`);
            if (/Begin from|More answers/.test(first)) faults.push('the tools are printed');
            say('print', `${name} ${format}`, faults);
        }
    }
}

// By keyboard alone: to the sheet, a name completed, the list closed.
async function byKeyboard(page) {
    const faults = [];
    const text = 'engine:\n  cylinders: 4\n  displacement: 2.0 L\nsupply:\n  port_injection: {injector: factory}\n  lift_pump: ';
    await page.evaluate(answersTo, { text, file: 'x.yaml', words: [] });
    await page.focus('#form-tab');
    await page.keyboard.press('ArrowRight');
    if (!(await page.isVisible('#sheet'))) faults.push('the arrow does not open the sheet');
    await page.focus('#sheet');
    await page.keyboard.press('Control+End');
    await page.keyboard.type('lift-3');
    const offers = await page.evaluate(() => [...byId('complete').children].map((at) => at.textContent));
    if (!offers.some((offer) => offer.startsWith('lift-340'))) faults.push(`offers ${offers}`);
    await page.keyboard.press('Enter');
    await page.keyboard.press('Enter');
    await page.keyboard.type('  regula');
    await page.keyboard.press('Enter');
    await page.keyboard.type('me');
    await page.keyboard.press('ArrowDown');
    await page.keyboard.press('Escape');
    const { text: typed } = await page.evaluate(sheetNow);
    if (!/lift_pump: lift-3\d\d\n {2}regulation: me$/.test(typed)) faults.push(`typed '${typed.slice(-60)}'`);
    say('keyboard', 'the sheet', faults);
}

// ---- the browsers ----

const OPENERS = {
    async chromium() {
        const browser = await need('playwright-core').chromium.launch({
            executablePath: process.env.CHROMIUM || '/usr/bin/chromium',
            args: ['--no-sandbox', '--disable-gpu', '--disable-quic'],
        });
        const context = await browser.newContext({ viewport: { width: 1300, height: 800 } });
        return { browser, newPage: () => context.newPage() };
    },
    async firefox() {
        const browser = await need('puppeteer-core').launch({
            browser: 'firefox', headless: true, executablePath: process.env.FIREFOX || '/usr/bin/firefox-esr' });
        return { browser, newPage: () => browser.newPage() };
    },
};

async function main() {
    const { browser, newPage } = await OPENERS[browserName]();
    const noise = [], requests = [];
    const hosts = [ADDRESS];
    const openAt = async (fragment, address = ADDRESS) => {
        hosts.push(address);
        const page = await newPage();
        page.on('console', (message) => noise.push(message.text()));
        page.on('pageerror', (error) => noise.push(String(error)));
        page.on('dialog', (dialog) => { noise.push(`a dialog: ${dialog.message()}`); dialog.dismiss(); });
        page.on('request', (request) => requests.push(request.url()));
        await page.goto(address + fragment);
        await page.waitForSelector('body[data-checked]', { timeout: 30000 });
        return page;
    };
    const page = await openAt('');
    const reopen = async (fragment, see) => {
        const other = await openAt(fragment);
        const seen = await see(other);
        await other.close();
        return seen;
    };
    await sameFigures(page);
    await sameMessages(page);
    await formAndSheet(page, reopen);
    await overHttp(openAt);
    await hostile(page);
    if (browserName === 'chromium') {
        await byKeyboard(page);
        await looks(page);
        await printed(page);
    }
    say('quiet', 'all the while', noise.slice(0, 5));
    say('alone', 'all the while', requests.filter((url) =>
        !hosts.some((host) => url.split('#')[0] === host) && !/^(blob|data):/.test(url)).slice(0, 5));
    await browser.close();
    fs.writeFileSync(outPath, lines.join('\n') + '\n');
}

main().catch((error) => {
    console.error(error);
    fs.writeFileSync(outPath, lines.join('\n') + '\n');
    process.exit(1);
});
