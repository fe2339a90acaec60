// SPDX-License-Identifier: GPL-3.0-or-later
// Runs in a worker: the program, called with one command line after another. A task is
// {id, file, text, lines: [[words], …]}; the answer {id, answers: [{code, out, err}, …]}. What a
// study tells of its progress goes out meanwhile as {id, progress}.
'use strict';
let program = null;
let written = { 1: [], 2: [] };
let task = null;

const bytesToText = (pieces) => {
    const decoder = new TextDecoder();
    return pieces.map((piece) => decoder.decode(piece, { stream: true })).join('') + decoder.decode();
};

function write(stream, bytes) {
    written[stream].push(bytes);
    const percent = stream === 2 && /(\d+) %/.exec(new TextDecoder().decode(bytes));
    if (percent && task) self.postMessage({ id: task.id, progress: Number(percent[1]) });
}

function start({ module, files }) {
    const encoder = new TextEncoder();
    const options = {
        files: Object.fromEntries(Object.entries(files).map(([path, text]) => [path, encoder.encode(text)])),
        write,
        instantiateWasm: (imports, done) => {
            WebAssembly.instantiate(module, imports).then(done);
            return {};
        },
    };
    return fuelreachProgram(options).then((made) => {
        program = made;
        program.files = options.files;
    });
}

function call(words) {
    written = { 1: [], 2: [] };
    const code = program.callMain(words);
    return { code, out: bytesToText(written[1]), err: bytesToText(written[2]) };
}

let ready = null;
self.onmessage = async ({ data }) => {
    if (data.module) {
        ready = start(data);
        return;
    }
    await ready;
    task = data;
    program.files[data.file] = new TextEncoder().encode(data.text);
    const answers = data.lines.map(call);
    delete program.files[data.file];
    task = null;
    self.postMessage({ id: data.id, answers });
};
