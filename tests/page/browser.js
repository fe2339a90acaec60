// SPDX-License-Identifier: GPL-3.0-or-later
// Opens pages in a headless chromium, from the disk, and says what is wrong with them.
// usage: node browser.js FOLDER OUT PAGE.html...   FOLDER holds node_modules
// OUT gets a line a finding: "CHECK ok PAGE" or "CHECK wrong PAGE: why". One browser for all.
'use strict';
const fs = require('fs');
const path = require('path');
const { execFileSync } = require('child_process');
const { createRequire } = require('module');

const [folder, outPath, ...pages] = process.argv.slice(2);
const need = createRequire(path.resolve(folder) + '/');
const { chromium } = need('playwright-core');
const axe = fs.readFileSync(need.resolve('axe-core/axe.min.js'), 'utf8');
const WIDTHS = [360, 800, 1400];
const lines = [];

function say(check, name, faults) {
    for (const fault of faults) lines.push(`${check} wrong ${name}: ${fault}`.replace(/\s+/g, ' '));
    if (faults.length === 0) lines.push(`${check} ok ${name}`);
}

// ---- what is looked at inside the page ----

// What sticks out of the window, save inside a box that scrolls.
function stickingOut() {
    const wide = document.documentElement.clientWidth;
    const faults = [];
    if (document.documentElement.scrollWidth > wide)
        faults.push(`the page is ${document.documentElement.scrollWidth} wide in ${wide}`);
    for (const at of document.querySelectorAll('body *')) {
        if (at.closest('.scroll, pre') && !at.matches('.scroll, pre')) continue;
        const box = at.getBoundingClientRect();
        if (box.width > 1 && box.right > wide + 0.5)
            faults.push(`<${at.tagName}> ends at ${box.right} of ${wide}`);
    }
    return faults.slice(0, 5);
}

// Blocks that lie on each other.
function overlappingBlocks() {
    const faults = [];
    for (const parent of document.querySelectorAll('body, main, section, figure, .figures, header')) {
        const boxes = [...parent.children].map((at) => [at, at.getBoundingClientRect()])
            .filter(([at, box]) => box.width > 1 && box.height > 1);
        for (let i = 0; i < boxes.length; i++)
            for (let j = i + 1; j < boxes.length; j++) {
                const [a, p] = boxes[i], [b, q] = boxes[j];
                if (p.right > q.left + 1 && q.right > p.left + 1 && p.bottom > q.top + 1 &&
                    q.bottom > p.top + 1)
                    faults.push(`<${a.tagName}> on <${b.tagName}> in <${parent.tagName}>`);
            }
    }
    return faults.slice(0, 5);
}

// Text in a chart that lies on other text, or leaves the picture.
function chartText() {
    const faults = [];
    for (const svg of document.querySelectorAll('svg')) {
        const view = svg.viewBox.baseVal;
        const boxes = [...svg.querySelectorAll('text')].map((at) => [at.textContent, at.getBBox()]);
        for (let i = 0; i < boxes.length; i++) {
            const [text, p] = boxes[i];
            if (p.x < 0 || p.y < 0 || p.x + p.width > view.width + 0.5 ||
                p.y + p.height > view.height + 0.5)
                faults.push(`'${text}' leaves the picture`);
            for (let j = i + 1; j < boxes.length; j++) {
                const [other, q] = boxes[j];
                if (p.x + p.width > q.x + 0.5 && q.x + q.width > p.x + 0.5 &&
                    p.y + p.height > q.y + 2 && q.y + q.height > p.y + 2)
                    faults.push(`'${text}' on '${other}'`);
            }
        }
        if (boxes.length < 5) faults.push('a chart with next to no text');
    }
    return faults.slice(0, 5);
}

// Ratio of luminances (WCAG 2.1) of chart text (4.5) and of lines and marks (3) with the page.
function chartContrast() {
    const parse = (text) => text.match(/[\d.]+/g).map(Number);
    const luminance = (colour) => {
        const [r, g, b] = parse(colour).map((v) => v / 255)
            .map((v) => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4));
        return 0.2126 * r + 0.7152 * g + 0.0722 * b;
    };
    const back = luminance(getComputedStyle(document.body).backgroundColor);
    const ratio = (colour) => {
        const l = luminance(colour);
        return (Math.max(l, back) + 0.05) / (Math.min(l, back) + 0.05);
    };
    const faults = [];
    for (const at of document.querySelectorAll('svg text'))
        if (ratio(getComputedStyle(at).fill) < 4.5) faults.push(`text '${at.textContent}'`);
    for (const at of document.querySelectorAll('svg .line, svg .mark'))
        if (ratio(getComputedStyle(at).stroke) < 3) faults.push(`line ${at.getAttribute('class')}`);
    return faults.slice(0, 5);
}

// Whatever stood in the sheet must not have become part of the page.
function foreign() {
    const faults = [];
    if (document.scripts.length > 0) faults.push('a script');
    for (const at of document.querySelectorAll('*')) {
        if (/^(script|img|iframe|object|embed|link|base|form|input|audio|video)$/i.test(at.tagName))
            faults.push(`<${at.tagName}>`);
        for (const attribute of at.attributes)
            if (/^on/i.test(attribute.name) || /^(src|action|formaction|xlink:href)$/i.test(attribute.name) ||
                (attribute.name === 'href' && !attribute.value.startsWith('#')))
                faults.push(`${attribute.name} of <${at.tagName}>`);
    }
    if (/[\u202a-\u202e\u2066-\u2069]/.test(document.documentElement.textContent))
        faults.push('a character that turns the direction of writing');
    return faults;
}

// ---- one page ----

// Of a long folded table the first rows stand for the rest, which are like them.
async function accessible(page, where) {
    const result = await page.evaluate(() => axe.run(
        { include: [['html']], exclude: [['details tr:nth-child(n+5)']] },
        { resultTypes: ['violations'] }));
    return result.violations.map((v) => `${where}: ${v.id} ${v.help} at ${v.nodes[0].target}`);
}

function printed(pdf) {
    const faults = [];
    const info = execFileSync('pdfinfo', [pdf], { encoding: 'utf8' });
    const count = Number(/^Pages:\s+(\d+)/m.exec(info)[1]);
    if (count !== 2) faults.push(`${count} sides`);
    const side = (n) =>
        execFileSync('pdftotext', ['-f', `${n}`, '-l', `${n}`, pdf, '-'], { encoding: 'utf8' });
    const first = side(1), second = count > 1 ? side(2) : '';
    for (const words of ['Blends', 'Figure 1', 'Figure 2'])
        if (!first.includes(words)) faults.push(`no '${words}' on the first side`);
    for (const words of ['Figure 3', 'Figure 4', 'Cautions', 'This checks fuel supply only'])
        if (!second.includes(words)) faults.push(`no '${words}' on the second side`);
    if (/To look closer/.test(first + second)) faults.push('what is folded is printed');
    return faults;
}

async function print(page, file) {
    const faults = [];
    await page.emulateMedia({ media: null, colorScheme: 'light' });
    for (const format of ['A4', 'Letter']) {
        const pdf = `${file}.${format}.pdf`;
        await page.pdf({ path: pdf, format });
        faults.push(...printed(pdf).map((fault) => `${format}: ${fault}`));
    }
    return faults;
}

async function unfold(page) {
    await page.evaluate(() => {
        for (const at of document.querySelectorAll('details')) at.open = true;
    });
}

async function look(context, file) {
    const name = path.basename(file);
    const page = await context.newPage();
    const noise = [], requests = [];
    page.on('console', (message) => noise.push(message.text()));
    page.on('pageerror', (error) => noise.push(String(error)));
    page.on('dialog', (dialog) => { noise.push(`a dialog: ${dialog.message()}`); dialog.dismiss(); });
    page.on('request', (request) => requests.push(request.url()));
    await page.goto('file://' + path.resolve(file));
    say('foreign', name, await page.evaluate(foreign));
    say('print', name, await print(page, file));
    await page.evaluate(axe);
    for (const colorScheme of ['dark', 'light']) {
        await page.emulateMedia({ colorScheme });
        say('contrast', `${name}, ${colorScheme}`, await page.evaluate(chartContrast));
        if (colorScheme === 'light') await unfold(page);
        say('accessible', `${name}, ${colorScheme}`, await accessible(page, colorScheme));
    }
    for (const width of WIDTHS) {
        await page.setViewportSize({ width, height: 800 });
        say('overflow', `${name} at ${width}`, await page.evaluate(stickingOut));
        say('overlap', `${name} at ${width}`, await page.evaluate(overlappingBlocks));
    }
    say('chart-text', name, await page.evaluate(chartText));
    say('quiet', name, noise);
    say('alone', name, requests.filter((url) => url !== page.url()));
    await page.close();
}

// The checks must be able to fail: a page with every fault has to be found wanting.
const BAD = `<!DOCTYPE html><html><head><title>bad</title><style>svg .line{stroke:#eee}</style></head>
<body style="background:#fff"><section><div style="width:2000px">wide</div><div
style="margin-top:-20px;height:30px">over</div></section><svg viewBox="0 0 90 50" width="90"><text x="5"
y="20">one</text><text x="9" y="20">two</text><path class="line" d="M0 0h9"/></svg>
<img src="file:///none.png"><p style="color:#ddd">pale</p><script>console.log('hit')</script></body></html>`;

async function main() {
    const browser = await chromium.launch({
        executablePath: process.env.CHROMIUM || '/usr/bin/chromium',
        args: ['--no-sandbox', '--disable-gpu', '--disable-quic'],
    });
    const context = await browser.newContext({ viewport: { width: 1400, height: 800 } });
    const bad = path.join(path.dirname(outPath), 'bad.html');
    fs.writeFileSync(bad, BAD);
    for (const file of [bad, ...pages]) await look(context, file);
    await browser.close();
    fs.writeFileSync(outPath, lines.join('\n') + '\n');
}

main().catch((error) => {
    console.error(error);
    process.exit(1);
});
