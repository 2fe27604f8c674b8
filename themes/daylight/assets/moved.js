// A tag's code may name a variant behind the page's address: it goes along to the page's new address.
"use strict";

if (location.hash) location.replace(document.currentScript.dataset.to + location.hash);
