// SPDX-License-Identifier: GPL-3.0-or-later
// How long the page takes in chromium: from a change to its verdict, and to its odds.
// usage: node measure.js NODE_MODULES' FOLDER PAGE
'use strict';
const fs = require('fs');
const path = require('path');
const { createRequire } = require('module');

const [folder, pageFile] = process.argv.slice(2);
const { chromium } = createRequire(path.resolve(folder) + '/')('playwright-core');

async function times({ text, file }) {
    const median = (list) => list.sort((a, b) => a - b)[list.length >> 1];
    const took = async (work) => {
        const start = performance.now();
        await work();
        return performance.now() - start;
    };
    open(text, file);
    await check();
    const checks = [], odds = [];
    for (let i = 0; i < 9; i++) checks.push(await took(check));
    slow.stop();
    for (let i = 0; i < 5; i++) odds.push(await took(() => ask([['page', file]], slow)));
    return [median(checks), median(odds)];
}

async function main() {
    const browser = await chromium.launch({ executablePath: process.env.CHROMIUM || '/usr/bin/chromium',
        args: ['--no-sandbox', '--disable-gpu', '--disable-quic'] });
    const page = await browser.newPage();
    const start = Date.now();
    await page.goto('file://' + path.resolve(pageFile));
    await page.waitForSelector('body[data-checked]');
    console.log(`page in a browser: opened and checked in ${Date.now() - start} ms`);
    for (const file of fs.readdirSync('examples').filter((name) => name.endsWith('.yaml'))) {
        const text = fs.readFileSync(`examples/${file}`, 'utf8');
        const [checked, odds] = await page.evaluate(times, { text, file });
        console.log(`  ${file.padEnd(24)} verdict after ${checked.toFixed(0).padStart(4)} ms (aim 50), ` +
            `odds and parts after ${odds.toFixed(0).padStart(5)} ms (aim 1000)`);
    }
    await browser.close();
}

main().catch((error) => {
    console.error(error);
    process.exit(1);
});
