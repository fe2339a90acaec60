// SPDX-License-Identifier: GPL-3.0-or-later
// A sheet as a file, and in the address of the page: deflated, then in base64 that an address bears.

const SHEET_MOST = 256 * 1024; // characters; no sheet written by hand comes near

async function throughStream(bytes, stream) {
    return new Uint8Array(await new Response(new Blob([bytes]).stream().pipeThrough(stream)).arrayBuffer());
}

// At most `most` bytes of what a stream gives: a small text may unfold to a very large one.
async function inflated(bytes, format, most) {
    const reader = new Blob([bytes]).stream().pipeThrough(new DecompressionStream(format)).getReader();
    const pieces = [];
    let size = 0;
    for (;;) {
        const { done, value } = await reader.read();
        if (done) break;
        size += value.length;
        if (size > most) {
            reader.cancel();
            throw new Error('the sheet in the address is too long');
        }
        pieces.push(value);
    }
    return new Uint8Array(await new Blob(pieces).arrayBuffer());
}

function fromBase64(text) {
    const binary = atob(text.replace(/-/g, '+').replace(/_/g, '/'));
    return Uint8Array.from(binary, (letter) => letter.charCodeAt(0));
}

async function toFragment(text) {
    const bytes = await throughStream(new TextEncoder().encode(text), new CompressionStream('deflate-raw'));
    let binary = '';
    for (const byte of bytes) binary += String.fromCharCode(byte);
    return '#sheet=' + btoa(binary).replace(/\+/g, '-').replace(/\//g, '_').replace(/=+$/, '');
}

// The sheet in an address's fragment; null when there is none.
async function fromFragment(fragment) {
    const found = /^#sheet=([\w-]+)$/.exec(fragment);
    if (!found) {
        if (fragment.startsWith('#sheet=')) throw new Error('the sheet in the address is damaged');
        return null;
    }
    try {
        const bytes = await inflated(fromBase64(found[1]), 'deflate-raw', SHEET_MOST);
        return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
    } catch (error) {
        throw new Error(/too long/.test(error.message) ? error.message : 'the sheet in the address is damaged');
    }
}

function save(name, text) {
    const link = element('a', { href: URL.createObjectURL(new Blob([text], { type: 'application/yaml' })), download: name });
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 1000);
}
