// SPDX-License-Identifier: GPL-3.0-or-later
// Puts the page together: node assemble.js SOURCES BUILD FILE... >page. SOURCES is src/web, BUILD
// holds program.js and program.wasm.gz, the FILEs are parts and examples. SOURCE says where the
// source is to be had.
'use strict';
const fs = require('fs');
const path = require('path');
const { createHash } = require('crypto');

const [sources, build, ...files] = process.argv.slice(2);
const read = (name) => fs.readFileSync(path.join(sources, name), 'utf8');
// Comments on lines of their own, indentation and blank lines are for those who read the source.
const lean = (text) => text.split('\n').map((line) => line.trim())
    .filter((line) => line && !/^(\/\/|\/\*.*\*\/$)/.test(line)).join('\n');
const hash = (text) => `sha256-${createHash('sha256').update(text).digest('base64')}`;
// No text may end the element that it stands in.
const held = (text) => text.replace(/<\/(script)/gi, '<\\/$1').replace(/<!--/g, '<\\!--');

const style = lean(read('page.css'));
const script = held(`'use strict';\n${['dom', 'program', 'sharing', 'form', 'editor', 'main']
    .map((name) => lean(read(`${name}.js`))).join('\n')}\n`);
const worker = held(fs.readFileSync(path.join(build, 'program.js'), 'utf8') + '\n' + lean(read('worker.js')));
const texts = JSON.stringify(Object.fromEntries(files.map((file) => [file, fs.readFileSync(file, 'utf8')])))
    .replace(/</g, '\\u003c');
const source = process.env.SOURCE
    ? `The source is at <a href="${process.env.SOURCE.replace(/[&"<>]/g, '')}">${process.env.SOURCE.replace(/[&"<>]/g, '')}</a>.`
    : 'Whoever gives you this page owes you its source, with all that this page is made from, for no more than what the copying costs.';
const parts = {
    HASH_SCRIPT: hash(script), HASH_STYLE: hash(style), STYLE: style, SCRIPT: script, WORKER: worker, FILES: texts,
    PROGRAM: fs.readFileSync(path.join(build, 'program.wasm.gz')).toString('base64'), SOURCE: source,
};
process.stdout.write(read('page.html').replace(/@([A-Z_]+)@/g, (_, name) => parts[name]));
