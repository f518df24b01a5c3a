import{C as t,t as e,s as n,d as s,D as a,E as i,u as o,w as l,F as r,G as c,P as u,H as $,I as d,J as g,K as p,L as f,M as b,N as h,O as m,Q as w,R as _,T as y,U as v,V as k,B as x,W as C,X as j,Y as S,Z as O,y as T,_ as E,$ as A,a0 as M,a1 as I,a2 as L,a3 as P,a4 as N,a5 as R,a6 as B,a7 as D,a8 as q,a9 as U,aa as G,ab as F,ac as W}from"./first.js";import{b as H,i as J,a as z,o as K,n as Q,s as V}from"./start.js";import{o as X,s as Y,n as Z,b as tt,a as et,h as nt}from"./sync.js";import{b as st,a as at,c as it,l as ot,E as lt,r as rt,d as ct,R as ut}from"./rooms.js";async function $t(t){return(await dt(t)).owner}async function dt(e){const n=new t(e,{autoOpen:!1});try{await n.open();const t=await n.table("meta").get("owner"),e=await n.table("outbox").count();return{owner:t?{uid:t.uid,name:t.owner_name}:null,unsent:e}}catch{return{owner:null,unsent:0}}finally{n.close()}}class gt extends Error{constructor(t,e=0){super(t),this.name="AccountError",this.code=t,this.wait_s=e}}function pt(){return Tt("GET","/api/me")}async function ft(t,e,n){const{owner:s}=await Tt("POST","/api/sign-in",{name:t,passphrase:e,device_name:n});return jt(s)}async function bt(){await Tt("POST","/api/sign-out"),Y()}async function ht(t,e,n){await Tt("POST","/api/passphrase",{current:t,new:e,device_name:n})}async function mt(){return(await Tt("GET","/api/devices")).devices}async function wt(t){await Tt("DELETE",`/api/devices/${t}`)}function _t(){return Tt("POST","/api/pairings")}function yt(t){return Tt("GET",`/api/pairings/${t}`)}async function vt(t,e){await Tt("POST",`/api/pairings/${t}/allow`,{code:e})}async function kt(t){await Tt("DELETE",`/api/pairings/${t}`)}function xt(t,e){return Tt("POST","/api/pairings/claim",{secret:t,device_name:e})}async function Ct(t){const{owner:e,waiting:n}=await Tt("POST","/api/pairings/finish",{claim:t});return n?"waiting":jt(e)}async function jt(t){return Z(null),await tt(t)?(Y(),"here"):(z(await async function(t){for(const e of await Ot()){const n=e===H?await et():await $t(e);if((n?.uid??K(e))===t)return e}return Q(t)}(t.uid)),"beside")}async function St(){const t=(await Ot()).filter(t=>t!==H);return(await Promise.all(t.map(dt))).flatMap(t=>t.owner?[{owner:t.owner,unsent:t.unsent}]:[])}async function Ot(){const t=await(indexedDB.databases?.())??[];return[...new Set([H,...t.map(({name:t})=>t??"")])].filter(J)}async function Tt(t,n,s){const a=/^\/api\/(devices|passphrase)/.test(n)||/^\/api\/pairings($|\/[0-9a-f]{32})/.test(n)?await X():{},i=await fetch(n,{method:t,cache:"no-store",redirect:"error",signal:AbortSignal.timeout(e.answer_ms),headers:{Accept:"application/json",...void 0===s?{}:{"Content-Type":"application/json"},...a},...void 0===s?{}:{body:JSON.stringify(s)}}).catch(()=>null);if(!i||!/json/.test(i.headers.get("Content-Type")??""))throw new gt("no_network");const o=await i.json().catch(()=>null);if(i.ok)return o;throw new gt(String(o?.errors?.new?.[0]?.code??o?.code??"no_network"),Number(i.headers.get("Retry-After")??0))}class Et extends Error{constructor(t,e){super(t,{cause:e}),this.name="PhotoError",this.code=t}}async function At(t){const e=await createImageBitmap(t).catch(t=>{throw new Et("not_image",t)}),n=Math.min(1,1600/Math.max(e.width,e.height)),[s,a]=[e.width,e.height].map(t=>Math.max(1,Math.round(t*n))),i=new OffscreenCanvas(Number(s),Number(a)),o=i.getContext("2d");if(!o)throw new Et("not_image",null);o.fillStyle="white",o.fillRect(0,0,i.width,i.height),o.drawImage(e,0,0,i.width,i.height),e.close();const l=await i.convertToBlob({type:"image/jpeg",quality:.82});return{bytes:await l.arrayBuffer(),media_type:"image/jpeg",width_px:i.width,height_px:i.height}}async function Mt(t,e){const{bytes:n,media_type:s,width_px:u,height_px:$}=await At(e),d=a();await async function(t){try{await l("rw",["photo_bytes"],e=>e.photo_bytes.put(t))}catch(e){if(!r(e)||!await c())throw e;await l("rw",["photo_bytes"],e=>e.photo_bytes.put(t))}}({id:d,bytes:n,media_type:s,state:"unsent",errors:null,tries:0,not_before_ms:0});try{await i("photo",d,{...t,taken_at:o(),media_type:s,width_px:u,height_px:$,bytes:n.byteLength,sha256:await Nt(n)})}catch(t){throw await l("rw",["photo_bytes"],t=>t.photo_bytes.delete(d)).catch(()=>{}),t}return d}function It(t){const[e,a]=t.tasting?["tasting",t.tasting]:["bottle",String(t.bottle)];return n(()=>s.photo.where(`fields.${e}`).equals(a).filter(t=>!t.gone).toArray())}async function Lt(t){const a=await n(()=>s.photo_bytes.get(t));if(a)return new Blob([a.bytes],{type:a.media_type});try{const n=await fetch(`/api/photos/${t}`,{headers:await X(),signal:AbortSignal.timeout(e.answer_ms)}),s=n.ok?await n.blob():null;return s?.type.startsWith("image/")?s:null}catch{return null}}function Pt(){return n(async()=>({unsent:await s.photo_bytes.where("state").equals("unsent").count(),refused:(await s.photo_bytes.where("state").equals("refused").toArray()).map(({id:t,errors:e})=>({id:t,errors:e??{}}))}))}async function Nt(t){if(!crypto.subtle)return null;const e=await crypto.subtle.digest("SHA-256",t);return Array.from(new Uint8Array(e),t=>t.toString(16).padStart(2,"0")).join("")}function Rt({label:t,options:e,value:n,none:s,onChange:a,note:i}){const o=u();return $`<div class="field">
    <label class="label" for=${o}>${t}</label>
    <select id=${o} value=${n??""} onChange=${t=>a(t.target.value||null)} aria-describedby=${i?`${o}-note`:void 0}>
      <option value="">${s}</option>
      ${e.map(t=>$`<option key=${t.id} value=${t.id}>${t.label}</option>`)}
    </select>
    ${i&&$`<p class="field-note" id=${`${o}-note`}>${i}</p>`}
  </div>`}const Bt=["iPhone","iPad","Android","Windows","Macintosh","Linux"];function Dt(){const t=`${navigator.userAgent} ${navigator.userAgentData?.platform??""}`;return Bt.find(e=>t.includes(e))??""}function qt(t){return t||d("settings.device_nameless")}function Ut(t){if(!(t instanceof gt))throw t;const e=`settings.trouble_${t.code}`;return g(e)||g(`${e}.other`)?d(e,{count:t.wait_s}):d("settings.trouble")}function Gt(){const[t,e]=p([]),n=()=>mt().then(e,t=>{b(Ut(t))});f(()=>{n()},[]);const s=async t=>{await wt(t).then(()=>b(d("settings.device_revoked")),t=>b(Ut(t))),n()};return $`<h3>${d("settings.devices")}</h3>
    <ul class="ruled devices">${t.map(t=>$`<${Ft} key=${t.id} device=${t} onShut=${s} />`)}</ul>`}function Ft({device:t,onShut:e}){const{id:n,made_at:s,last_synced:a,current:i}=t,o=qt(t.name);return $`<li>
    <span class="name">${o}</span>
    <p class="soft small">${d("settings.device_made",{date:h(s)})}</p>
    <p class="soft small">${a?d("settings.device_synced",{date:h(a),time:m(a)}):d("settings.device_never")}</p>
    ${i?$`<p class="small">${d("settings.device_this")}</p>`:$`<div class="buttons"><button type="button" class="button plain" aria-label=${`${d("settings.device_revoke")}: ${o}`} onClick=${()=>e(n)}>${d("settings.device_revoke")}</button></div>`}
  </li>`}function Wt({refused:t}){return t.length?$`<h3 class="warm">${d("settings.refused")}</h3>
    <p class="soft small">${d("settings.refused_note")}</p>
    <ul class="ruled refused">${t.map(t=>$`<${Ht} key=${t.id} refused=${t} />`)}</ul>`:null}function Ht({refused:t}){const{kind:e,id:n,errors:s}=t,a=w(()=>_(()=>async function(t,e){const n=await y(t,e);if("settings"===t)return d("settings.title");if("visit"===t)return n?.fields.name??d("field.visit");const s="bottle"===t?e:n?.fields.bottle;return st(at(await v([s]),s))}(e,n),""),[e,n]).value;return $`<li>
    <span class="name">${a}</span>
    ${Object.entries(s).flatMap(([t,e])=>e.map(e=>$`<p class="field-error">${function(t,{code:e,bound:n}){const s=void 0===n?{}:{bound:new Intl.NumberFormat(k(),{useGrouping:!1}).format(n)};return d("settings.refused_reason",{field:Jt(t),reason:d(`error.${e}`,s)})}(t,e)}</p>`))}
    <div class="buttons">
      <a class="button" href=${function(t,e){return"tasting"===t?`#/pour/${e}`:"bottle"===t?`#/book/bottle/${e}`:"pick"===t?"#/shelf":"settings"===t?"#/settings":"#/book"}(e,n)}>${d("settings.mend")}</a>
      <button type="button" class="button plain" onClick=${()=>async function({kind:t,id:e,errors:n}){const s=(await y(t,e)).fields,a=Object.keys(n).filter(t=>t in s);await i(t,e,Object.fromEntries(a.map(t=>[t,null]))),b(d("settings.left_out"),()=>{!async function(t,e,n){await i(t,e,Object.fromEntries(n)).catch(()=>b(d("settings.not_put_back")))}(t,e,a.map(t=>[t,s[t]]))})}(t)}>${d("settings.leave_out")}</button>
    </div>
  </li>`}function Jt(t){const e=["field","scale"].map(e=>`${e}.${t.replace("just_right_","")}`).find(t=>d(t)!==t);return e?d(e):t}function zt(){const t=w(()=>_(Kt,[]),[]).value;return t.length?$`<h3 class="warm">${d("settings.photos_refused")}</h3>
    <p class="soft small">${d("settings.photos_refused_note")}</p>
    <ul class="ruled refused">${t.map(({id:t,code:e,taken:n,place:s})=>$`<li key=${t}>
      <span class="name">${n}</span>
      <p class="field-error">${d(g(`settings.photo_${e}`)?`settings.photo_${e}`:"settings.photo_not_taken")}</p>
      <div class="buttons"><a class="button" href=${s}>${d("settings.photo_show")}</a></div>
    </li>`)}</ul>`:null}async function Kt(){const{refused:t}=await Pt();return Promise.all(t.map(async({id:t,errors:e})=>{const{taken_at:n,tasting:s,bottle:a}=(await y("photo",t))?.fields??{};return{id:t,code:Object.values(e)[0]?.[0]?.code??"",taken:n?h(n):"",place:s?`#/book/${s}`:`#/book/bottle/${a}`}}))}function Qt(){const t=w(()=>_(C,0),[]).value,{phase:e,notes:n,refused:s,lastSynced:a,progress:i}=x.value,o=n+s.length;return $`<section class="settings-part" aria-labelledby="settings-keeping">
    <h2 id="settings-keeping">${d("settings.keeping")}</h2>
    <p class="soft" role="status">${d(`settings.phase_${e}`)}</p>
    <dl class="ledger-lines">
      <${Vt} name=${d("settings.on_phone")} figure=${d("settings.on_phone_figure",{count:t})} />
      <${Vt} name=${d("settings.unsent")} figure=${o?d("settings.unsent_figure",{count:o}):d("settings.unsent_none")} />
      ${i&&$`<${Vt} name=${d("settings.progress_of")} figure=${d("settings.progress",i)} />`}
      <${Vt} name=${d("settings.last_synced")} figure=${a?`${h(a)}, ${m(a)}`:d("settings.never_synced")} />
      <${Vt} name=${d("settings.storage")} figure=${d(`settings.storage_${Xt()}`)} />
    </dl>
    ${i?.total?$`<progress class="how-far" max=${i.total} value=${i.done} aria-label=${d("settings.progress_of")}></progress>`:null}
    ${"promised"!==Xt()&&$`<${Yt} />`}
    <div class="buttons"><button type="button" class="button" disabled=${"syncing"===e} onClick=${te}>${d("settings.sync_now")}</button></div>
    <${Wt} refused=${s} />
    <${zt} />
  </section>`}function Vt({name:t,figure:e}){return $`<div><dt>${t}</dt><dd class="figure">${e}</dd></div>`}function Xt(){const{persisted:t}=j.value;return null===t?"unknown":t?"promised":"not_promised"}function Yt(){return $`<div class="line-note"><p class="soft small">${d("settings.storage_note")}</p>
    <button type="button" class="button plain" onClick=${Zt}>${d("settings.storage_ask")}</button></div>`}async function Zt(){b(d(await S()?"settings.storage_yes":"settings.storage_no"))}async function te(){const t=await Y(),e=x.value.refused.length;b("done"===t&&e?d("settings.copied_but",{count:e}):d(`settings.copied_${t}`))}function ee(){const[t,e]=p(null),[n,s]=p("");return $`<h3>${d("settings.pair")}</h3>
    ${n&&$`<p class="warm" role="status">${n}</p>`}
    ${t?$`<${ne} key=${t.id} offer=${t} onEnd=${t=>{e(null),s(t)}} />`:$`<div class="buttons"><button type="button" class="button" onClick=${()=>_t().then(t=>{s(""),e({...t,image:URL.createObjectURL(new Blob([t.svg],{type:"image/svg+xml"}))})},t=>{s(Ut(t))})}>${d(n?"settings.pair_again":"settings.pair")}</button></div>`}`}function ne({offer:t,onEnd:e}){const[n,s]=p(null);f(()=>{const n=setInterval(()=>yt(t.id).then(s,t=>{"no_network"!==t.code&&e(Ut(t))}),2e3);return()=>{clearInterval(n),URL.revokeObjectURL(t.image)}},[t.id]);const a=()=>kt(t.id).finally(()=>e(""));return n?.code?$`<${se} code=${n.code} name=${qt(n.name)} onAgree=${(n,s)=>vt(t.id,n).then(()=>{b(d("settings.pair_done",{name:s})),e("")},t=>e(Ut(t)))} onStop=${a} />`:$`<p class="soft">${d("settings.pair_note")}</p>
    ${!t.reachable&&$`<p class="warm">${d("settings.pair_unreachable")}</p>`}
    <img class="pair-code" src=${t.image} alt=${d("settings.pair_image")} />
    <div class="buttons"><button type="button" class="button plain" onClick=${a}>${d("settings.pair_stop")}</button></div>`}function se({code:t,name:e,onAgree:n,onStop:s}){return $`<div role="status"><p>${d("settings.pair_waits",{name:e})}</p><p>${d("settings.pair_code",{code:t})}</p></div>
    <div class="buttons">
      <button type="button" class="button" onClick=${()=>n(t,e)}>${d("settings.pair_agree")}</button>
      <button type="button" class="button plain" onClick=${s}>${d("settings.pair_stop")}</button>
    </div>`}function ae({label:t,value:e,onChange:n,autocomplete:s,error:a}){const[i,o]=p(!1);return $`<${O} label=${t} type=${i?"text":"password"} value=${e} onChange=${t=>n(t??"")} autocomplete=${s} error=${a} />
    <div class="buttons"><button type="button" class="button plain" aria-pressed=${i} onClick=${()=>o(!i)}>${d("settings.passphrase_show")}</button></div>`}function ie({name:t,isSet:e,onSet:n}){const[s,a]=p(""),[i,o]=p(""),[l,r]=p(""),[c,u]=p(!1),[g,f]=p(!1);return $`<details><summary>${d(e?"settings.passphrase_change":"settings.passphrase_first")}</summary>
    <form onSubmit=${async t=>{t.preventDefault(),f(!0),u(!1),await ht(s,i,Dt()).then(()=>{b(d("settings.passphrase_changed"));for(const t of[a,o,r])t("");n()},t=>{const e=t instanceof gt&&"wrong"===t.code;u(e),r(e?"":Ut(t))}).finally(()=>f(!1))}}>
      <input type="text" autocomplete="username" value=${t} readonly hidden />
      <p class="soft small">${d("settings.passphrase_note")}</p>
      ${e&&$`<${ae} label=${d("settings.passphrase_current")} value=${s} onChange=${a} autocomplete="current-password" error=${c?d("settings.passphrase_wrong"):null} />`}
      <${ae} label=${d("settings.passphrase_new")} value=${i} onChange=${o} autocomplete="new-password" error=${l||null} />
      <div class="buttons"><button type="submit" class="button" disabled=${g||!i||e&&!s}>${d("settings.passphrase_set")}</button></div>
    </form>
  </details>`}function oe({name:t,onIn:e}){const[n,s]=p(t),[a,i]=p(""),[o,l]=p(Dt()),[r,c]=p(""),[u,g]=p(!1),f=t=>e=>{t(e??"")};return $`<form onSubmit=${async t=>{t.preventDefault(),g(!0),await ft(n,a,o).then(t=>{"beside"===t?location.reload():e()},t=>{c(Ut(t))}).finally(()=>g(!1))}}>
    <${O} label=${d("settings.sign_in_name")} value=${n} onChange=${f(s)} autocomplete="username" />
    <${ae} label=${d("settings.passphrase")} value=${a} onChange=${i} autocomplete="current-password" error=${r||null} />
    <${O} label=${d("settings.device_name")} value=${o} onChange=${f(l)} maxLength=${40} />
    <div class="buttons"><button type="submit" class="button" disabled=${u||!n||!a}>${d("settings.sign_in")}</button></div>
  </form>`}function le(){const[t,e]=p(null),[n,s]=p(null),a=async()=>{e(await async function(){try{return{is:"in",...await pt()}}catch(t){return Ut(t),{is:"no_network"===t.code?"offline":"out"}}}()),s(await et())},{other:i,revoked:o}=nt.value,l="signin"===x.value.phase;if(f(()=>{a()},[i?.uid,o,l]),!t)return null;const r="in"===t.is&&(!n||t.owner.uid===n.uid);return $`<section class="settings-part" aria-labelledby="settings-account">
    <h2 id="settings-account">${d("settings.account")}</h2>
    ${n?.name&&"me"!==n.name&&$`<p>${d("settings.account_of",{name:n.name})}</p>`}
    <p class=${o?"warm":"soft"} role="status">${function(t,e,n){if("in"!==t.is)return d("offline"===t.is?"settings.account_offline":n?"settings.account_revoked":"settings.account_nobody");const{name:s,uid:a}=t.owner;return e&&e.uid!==a?d("settings.account_other",{name:s}):t.device?d("settings.account_in",{name:s}):d("settings.account_home")}(t,n,o)}</p>
    ${r&&t.device&&$`<${re} onOut=${a} />`}
    ${r&&$`<${ee} /><${ie} name=${t.owner.name} isSet=${null!==t.device} onSet=${a} />`}
    ${!r&&"in"===t.is&&$`<${ce} owner=${t.owner} />`}
    ${!r&&"offline"!==t.is&&$`<${oe} name=${n?.name??""} onIn=${a} />`}
    <${ue} />
  </section>`}function re({onOut:t}){return $`<div class="buttons"><button type="button" class="button" onClick=${async()=>{await bt().then(()=>b(d("settings.account_out")),t=>b(Ut(t))),t()}}>${d("settings.sign_out")}</button></div>
    <${Gt} />`}function ce({owner:t}){return $`<div class="buttons"><button type="button" class="button" onClick=${async()=>{"beside"===await jt(t)&&location.reload()}}>${d("settings.account_other_open",{name:t.name})}</button></div>`}function ue(){const[t,e]=p([]);return f(()=>{St().then(e)},[]),t.length?$`<h3>${d("settings.account_aside")}</h3>
    <dl class="ledger-lines">${t.map(({owner:t,unsent:e})=>$`<${Vt} key=${t.uid} name=${d("settings.account_aside_book",{name:t.name})}
      figure=${e?d("settings.account_aside_unsent",{count:e}):d("settings.account_aside_none")} />`)}</dl>
    <p class="soft small">${d("settings.account_aside_note")}</p>`:null}const $e="0.1.0",de=[{name:"@fontsource-variable/vollkorn",licence:"OFL-1.1"},{name:"@preact/signals",licence:"MIT"},{name:"@preact/signals-core",licence:"MIT"},{name:"dexie",licence:"Apache-2.0"},{name:"htm",licence:"Apache-2.0"},{name:"preact",licence:"MIT"},{name:"workbox",licence:"MIT"},{name:"zxing-wasm",licence:"MIT"}];function ge(){const t=w(()=>_(it,null),[]).value,[e,n]=p(!1),s=async t=>{n(!0),await t().finally(()=>n(!1))};return $`<section class="settings-part" aria-labelledby="settings-example">
    <h2 id="settings-example">${d("settings.example")}</h2>
    <p class="soft">${d(t?"settings.example_on":"settings.example_off")}</p>
    <div class="buttons">${t?$`<button type="button" class="button" disabled=${e} onClick=${()=>s(fe)}>${d("settings.example_away")}</button>`:$`<button type="button" class="button" disabled=${e||null===t} onClick=${()=>s(pe)}>${d("settings.example_show")}</button>`}</div>
  </section>`}async function pe(){try{await ot(),b(d("settings.example_shown"))}catch(t){if(!(t instanceof lt))throw t;b(d("settings.example_failed"))}}async function fe(){const{undo:t}=await rt();b(d("settings.example_gone"),t)}const be=_(E,null),he=T({});function me(){return{...be.value?.fields,...he.value}}async function we(t){he.value={...he.value,...t},await i("settings",A,t).catch(e=>{throw ye(Object.keys(t)),e})}function _e(t){return e=>{we({[t]:e})}}function ye(t){t.length&&(he.value=Object.fromEntries(Object.entries(he.value).filter(([e])=>!t.includes(e))))}function ve(t){return P.vocabularies[t].map(e=>({id:e,label:d(`${t}.${e}`)}))}function ke(){const t=me();return $`<section class="settings-part" aria-labelledby="settings-house">
    <h2 id="settings-house">${d("settings.house")}</h2>
    ${["temperature_unit","volume_unit"].map(e=>$`<${L} key=${e} label=${d(`field.${e}`)} options=${ve(e)} value=${t[e]} onChange=${_e(e)} />`)}
    <${I} label=${d("field.currency")} items=${ct()} value=${t.currency} placeholder=${d("settings.not_said")} onChange=${_e("currency")} />
    <${Rt} label=${d("field.drink_country")} options=${ve("drink_country")} value=${t.drink_country} none=${d("settings.not_said")} onChange=${_e("drink_country")} note=${d("settings.drink_note")} />
    <${Rt} label=${d("field.market")} options=${ve("market")} value=${t.market} none=${d("settings.not_said")} onChange=${_e("market")} note=${d("settings.market_note")} />
  </section>`}function xe(){const{language:t,light:e}=me();return $`<section class="settings-part" aria-labelledby="settings-look">
    <h2 id="settings-look">${d("settings.look")}</h2>
    <${L} label=${d("field.light")} options=${ve("light")} value=${e??"auto"} onChange=${Ce} />
    <${Rt} label=${d("field.language")} options=${ve("language")} value=${t} none=${d("settings.language_auto")} onChange=${je} />
  </section>`}function Ce(t){V(t),we({light:t})}async function je(t){await we({language:t}),location.reload()}function Se(){const t=N.value??"menu";return $`<section class="settings-part" aria-labelledby="settings-install">
    <h2 id="settings-install">${d("install.title")}</h2>
    <p class="soft">${d(`install.${t}`)}</p>
    ${"ask"===t&&$`<div class="buttons"><button type="button" class="button" onClick=${R}>${d("install.put")}</button></div>`}
  </section>`}function Oe({secret:t}){const[e,n]=p(null),[s,a]=p(Dt()),[i,o]=p("");return f(()=>{history.replaceState(null,"","#/settings")},[]),f(()=>{if(!e)return;const t=setInterval(()=>async function(t,e){try{const n=await Ct(t);if("waiting"===n)return;if(e(""),"beside"===n)return void location.reload();b(d("settings.join_in")),B("/settings",{replace:!0})}catch(t){const n=Ut(t);"no_network"!==t.code&&e(n)}}(e.claim,e=>{clearInterval(t),o(e)}),2e3);return()=>clearInterval(t)},[e]),$`<section class="settings-part" aria-labelledby="settings-join">
    <h2 id="settings-join">${d("settings.join")}</h2>
    ${i&&$`<p class="warm" role="status">${i}</p>`}
    ${e?$`<p class="soft">${d("settings.join_code")}</p><p class="pair-number figure" role="status">${e.code}</p>`:$`<p class="soft">${d("settings.join_note")}</p>
        <${O} label=${d("settings.device_name")} value=${s} onChange=${t=>a(t??"")} maxLength=${40} />
        <div class="buttons"><button type="button" class="button" onClick=${()=>xt(t,s).then(n,t=>{o(Ut(t))})}>${d("settings.join_ask")}</button></div>`}
  </section>`}function Te(){const{notes:t,refused:e}=x.value,n=t+e.length;return $`<section class="settings-part" aria-labelledby="settings-leave">
    <h2 id="settings-leave">${d("settings.leave")}</h2>
    <p class="soft">${d("settings.leave_note")}</p>
    ${n>0&&$`<p class="warm">${d("settings.export_unsent",{count:n})}</p>`}
    <div class="buttons"><a class="button" href="/api/export" download>${d("settings.export")}</a></div>
  </section>`}function Ee(){return $`<section class="settings-part" aria-labelledby="settings-care">
    <h2 id="settings-care">${d("settings.care")}</h2>
    <ul class="care">${["drive","never","spit","help"].map(t=>$`<li key=${t}>${d(`settings.care_${t}`)}</li>`)}</ul>
    <p class="soft small">${d("settings.care_us")}</p>
    <blockquote class="soft small" lang="en">${d("settings.care_us_text")}</blockquote>
  </section>`}function Ae(){return $`<section class="settings-part" aria-labelledby="settings-about">
    <h2 id="settings-about">${d("settings.about")}</h2>
    <p>${d("settings.own_licence")}</p>
    <dl class="ledger-lines"><${Vt} name=${d("settings.edition")} figure=${$e} /></dl>
    <details><summary>${d("settings.built_on")}</summary>
      <dl class="ledger-lines">${de.map(({name:t,licence:e})=>$`<${Vt} key=${t} name=${t} figure=${e} />`)}</dl>
    </details>
  </section>`}M(()=>{const t=be.value?.fields??{};ye(Object.keys(he.value).filter(e=>(t[e]??null)===(he.value[e]??null)))});const Me={min:5,max:20,step:.5},Ie={min:5,max:40},Le={min:5,max:500};function Pe(){const{wanted_abv_low:t=null,wanted_abv_high:e=null,budget:n,currency:s}=me();return $`<section class="settings-part" aria-labelledby="settings-wanted">
    <h2 id="settings-wanted">${d("settings.wanted")}</h2>
    <div class="field">
      <div class="line-head"><span class="label">${d("settings.wanted_abv")}</span><span class="figure">${function(t,e){const n=[null===t||t<=Me.min,null===e||e>=Me.max];return n[0]&&n[1]?d("settings.wanted_any"):n[0]?d("settings.wanted_to",{high:D(Number(e))}):n[1]?d("settings.wanted_from",{low:D(Number(t))}):d("settings.wanted_range",{low:D(Number(t)),high:D(Number(e))})}(t,e)}</span></div>
      <${ut} ...${Me} low=${Ne(t)} high=${Ne(e)} lowLabel=${d("settings.wanted_low")} highLabel=${d("settings.wanted_high")} said=${D}
        onChange=${(t,e)=>{we({wanted_abv_low:t,wanted_abv_high:e})}} />
      <p class="field-note">${d("settings.wanted_note")}</p>
    </div>
    <${q} label=${d("field.budget")} unit=${U(s)} min=${0} value=${n} onChange=${_e("budget")} />
    <${Re} label=${d("field.room_c")} field="room_c" unit=${G()} bounds=${Ie} />
    <${Re} label=${d("settings.pour")} field="pour_ml" unit=${F()} bounds=${Le} />
  </section>`}function Ne(t){return null===t?null:Math.min(Me.max,Math.max(Me.min,t))}function Re({label:t,field:e,unit:n,bounds:s}){const a=me()[e];return $`<${q} key=${n.unit} label=${t} unit=${n.unit} min=${Math.ceil(n.shown(s.min))} max=${Math.floor(n.shown(s.max))}
    value=${"number"==typeof a?n.shown(a):null} onChange=${t=>{we({[e]:null===t?null:n.kept(t)})}} />`}function Be({path:[t,e]}){return"join"===t&&e?$`<${W} title=${d("settings.title")}><${Oe} secret=${e} /><//>`:$`<${W} title=${d("settings.title")}>
    <div class="columns"><${Qt} /><${le} /><${ge} /><${Pe} /><${ke} /><${xe} /><${Se} /><${Te} /><${Ee} /><${Ae} /></div>
  <//>`}export{gt as A,ae as B,ie as C,Gt as D,oe as E,le as F,$e as G,de as H,ge as I,we as J,Qt as K,Vt as L,_e as M,me as N,ke as O,Et as P,xe as Q,Wt as R,Rt as S,Se as T,Oe as U,Ae as V,Ee as W,Te as X,Pe as Y,Be as Z,Mt as a,Lt as b,dt as c,vt as d,St as e,ht as f,xt as g,mt as h,jt as i,Ct as j,_t as k,yt as l,pt as m,bt as n,$t as o,It as p,At as q,wt as r,ft as s,Pt as t,qt as u,Dt as v,kt as w,Ut as x,zt as y,ee as z};