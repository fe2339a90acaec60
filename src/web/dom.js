// SPDX-License-Identifier: GPL-3.0-or-later
// Small help with the document. Text always goes in as text.

const byId = (id) => document.getElementById(id);

// element('p', {class: 'soft', onclick: f}, 'text', child, …); a property that is null is left out.
function element(tag, properties, ...children) {
    const made = document.createElement(tag);
    for (const [name, value] of Object.entries(properties || {})) {
        if (value === null || value === undefined || value === false) continue;
        if (name.startsWith('on')) made.addEventListener(name.slice(2), value);
        else made.setAttribute(name, value === true ? '' : value);
    }
    made.append(...children.filter((child) => child !== null && child !== undefined));
    return made;
}

// Calls the last of many calls, once it has been quiet for `ms`.
function settled(ms, call) {
    let timer;
    return (...words) => {
        clearTimeout(timer);
        timer = setTimeout(() => call(...words), ms);
    };
}
